// The text that a monitoring system reads. Its form is that of OpenMetrics 1.0; tests/metrics/run
// reads the daemon's with a parser of other makers.
#include "station/web/metrics.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::web {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

TEST(Metrics, CountUnitsByVerdict) {
    MetricsSource source;
    engine::UnitFinished finished;
    finished.result.verdict = record::Verdict::fail;
    source.tally.apply(finished);
    source.tally.apply(finished);
    source.tally.apply(engine::UnitSetAside{});
    source.tally.apply(engine::FaultSeen{});
    const std::string text = metrics_text(source);
    EXPECT_THAT(text, HasSubstr("\npadtrim_units_total{verdict=\"fail\"} 2\n"));
    EXPECT_THAT(text, HasSubstr("\npadtrim_units_total{verdict=\"no verdict\"} 0\n"));
    EXPECT_THAT(text, HasSubstr("\npadtrim_units_removed_total 1\n"));
    EXPECT_THAT(text, HasSubstr("\npadtrim_faults_total 1\n"));
}

// OpenMetrics 1.0, "Escaping".
TEST(Metrics, EscapeWhatStandsInALabel) {
    MetricsSource source;
    source.station = "a \\ \"b\"\nc";
    EXPECT_THAT(metrics_text(source),
                HasSubstr("padtrim_station_info{station=\"a \\\\ \\\"b\\\"\\nc\"} 1\n"));
}

TEST(Metrics, TellEachPortAndEndAsTheFormatWants) {
    MetricsSource source;
    source.tally.links["nest-1"] = {900, 3, 2, 1, 0};
    source.tally.links["nest-1"] += {100, 0, 0, 0, 1};
    const std::string text = metrics_text(source);
    EXPECT_THAT(text, HasSubstr("padtrim_link_transactions_total{port=\"nest-1\"} 1000\n"));
    EXPECT_THAT(text, HasSubstr("padtrim_link_failures_total{port=\"nest-1\"} 1\n"));
    EXPECT_EQ(text.substr(text.size() - 6), "# EOF\n");
    EXPECT_THAT(text, Not(HasSubstr("certificate")));
    source.certificate_ends = record::WallTime(std::chrono::milliseconds(1'700'000'000'500));
    EXPECT_THAT(metrics_text(source), HasSubstr("padtrim_certificate_end_seconds 1700000000.5\n"));
}

TEST(Metrics, TellThisProcessAsTheKernelSeesIt) {
    const auto figures = process_figures();
    EXPECT_GE(figures.threads, 1u);
    EXPECT_GE(figures.open_descriptors, 3u);
    EXPECT_GT(figures.resident_bytes, 1u << 20U);
    EXPECT_GT(figures.started, 1.6e9);
    MetricsSource source;
    source.process = figures;
    EXPECT_THAT(metrics_text(source), HasSubstr("\npadtrim_daemon_threads "));
}

}  // namespace
}  // namespace padtrim::web
