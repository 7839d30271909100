#include "station/answers/capability_answer.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::Stage;

// Normal scores, brought to exactly this mean and deviation.
std::vector<double> normal_values(std::size_t count, double mean, double deviation) {
    std::vector<double> values;
    for (std::size_t i = 0; i < count; ++i)
        values.push_back(
            statistics::normal_quantile((static_cast<double>(i) + 0.5) / static_cast<double>(count))
                .value());
    const auto moments = statistics::Moments::of(values);
    for (double& value : values)
        value = mean + deviation * (value - *moments.mean()) / *moments.standard_deviation();
    return values;
}

// NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, deviation 2: Cp 1.0, Cpk 0.6667.
class PublishedProcess : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        const auto values = normal_values(50, 16.0, 2.0);
        for (std::size_t i = 0; i < values.size(); ++i)
            ledger.unit(
                {"U" + std::to_string(i),
                 {{"gain", values[i], Stage::as_found, "K1", 8.0, 20.0},
                  {"gain", 14.0 + 0.1 * (values[i] - 16.0), Stage::as_left, "K1", 8.0, 20.0},
                  {"noise", 1.0}},
                 1,
                 record::Verdict::pass,
                 10 + static_cast<std::int64_t>(i)});
    }
    CapabilityAnswer of(Stage stage) {
        return capability_answer(ledger.reader(), {}, stage).value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(PublishedProcess, HasThePublishedIndices) {
    const auto answer = of(Stage::as_found);
    ASSERT_EQ(answer.places.size(), 1u) << "a check without limits is left out";
    const auto& figures = *answer.places[0].figures;
    EXPECT_EQ(figures.model, quality::Model::normal);
    EXPECT_NEAR(figures.performance.spread->value, 1.0, 1e-9);
    EXPECT_NEAR(figures.performance.nearest.value, 2.0 / 3.0, 1e-9);
    // Its 95 % intervals for 50 values, chi-squared and Bissell's.
    EXPECT_NEAR(*figures.performance.spread->low, 0.8024823282, 1e-6);
    EXPECT_NEAR(*figures.performance.nearest.high, 0.8277820201, 1e-6);
    EXPECT_EQ(answer.units, 50u);
}

TEST_F(PublishedProcess, KeepsAsFoundAndAsLeftApart) {
    const auto left = of(Stage::as_left);
    ASSERT_EQ(left.places.size(), 1u);
    EXPECT_NEAR(*left.places[0].moments.mean(), 14.0, 1e-9);
    EXPECT_NEAR(left.places[0].figures->performance.nearest.value, 10.0, 1e-6);
    EXPECT_NE(sheet_of(left).title, sheet_of(of(Stage::as_found)).title);
}

TEST_F(PublishedProcess, CountsEachUnitByItsFirstTry) {
    ledger.unit({"U0",
                 {{"gain", 900.0, Stage::as_found, "K1", 8.0, 20.0}},
                 1,
                 record::Verdict::pass,
                 5000});
    const auto answer = of(Stage::as_found);
    EXPECT_EQ(answer.places[0].moments.count(), 50u);
    EXPECT_LT(*answer.places[0].moments.highest(), 30.0);
}

// The same units by their sums alone: one day, so that the scatter within days is that of all.
TEST_F(PublishedProcess, HasTheSameIndicesFromTheRollups) {
    const auto answer = capability_answer(ledger.reader(), {}, Stage::as_found, 10).value();
    EXPECT_TRUE(answer.from_rollups);
    ASSERT_EQ(answer.places.size(), 1u);
    const auto& place = answer.places[0];
    EXPECT_EQ(place.figures->model, quality::Model::normal);
    EXPECT_NEAR(place.figures->performance.nearest.value, 2.0 / 3.0, 1e-9);
    EXPECT_NEAR(place.figures->capability->spread->value, 1.0, 1e-9);
    double units = 0.0;
    for (const auto& bin : place.bins) units += bin.count;
    EXPECT_NEAR(units, 50.0, 1e-9);
    EXPECT_FALSE(capability_answer(ledger.reader(), {}, Stage::as_found, 50)->from_rollups);
}

// Normal scores: of 50 values the share outside is that of the normal distribution to 1 in 50.
TEST_F(PublishedProcess, CountsWhatOtherLimitsWouldHaveCost) {
    const quality::SpecLimits tighter{14.0, 18.0};  // one standard deviation: 15.87 % on each side
    for (const std::uint64_t single : {std::uint64_t{10}, most_single_units}) {
        const auto answer =
            capability_answer(ledger.reader(), {}, Stage::as_found, single, tighter).value();
        EXPECT_EQ(answer.from_rollups, single == 10);
        const auto gain = std::find_if(answer.places.begin(), answer.places.end(),
                                       [](const auto& p) { return p.place.check == "gain"; });
        ASSERT_NE(gain, answer.places.end());
        EXPECT_EQ(gain->outside, (OutsideCount{50, 8, 8}));
        EXPECT_EQ(gain->limits.low, 14.0);
        EXPECT_NEAR(gain->figures->performance.nearest.value, 1.0 / 3.0, 1e-9);
        const auto sheet = sheet_of(answer);
        EXPECT_EQ(sheet.tables.at(0).columns.back().title, "values outside");
        EXPECT_EQ(to_json(answer).at("places").at(0).at("below").to_number<int>() +
                      to_json(answer).at("places").at(0).at("above").to_number<int>(),
                  answer.places[0].outside->below + answer.places[0].outside->above);
    }
    const auto one_sided =
        capability_answer(ledger.reader(), {}, Stage::as_found, 10, {std::nullopt, 16.0}).value();
    for (const auto& place : one_sided.places) {
        if (place.place.check == "gain") {
            EXPECT_EQ(place.outside, (OutsideCount{50, 0, 25}));
        }
    }
}

TEST_F(PublishedProcess, IsDrawnAsHistogramWithItsLimits) {
    const auto sheet = sheet_of(of(Stage::as_found));
    ASSERT_EQ(sheet.charts.size(), 1u);
    const auto& chart = sheet.charts[0];
    double units = 0.0;
    for (const auto& dot : chart.series.at(0).dots) units += dot.y;
    EXPECT_EQ(units, 50.0);
    EXPECT_EQ(chart.limits.size(), 3u) << "low, high, mean";
    EXPECT_TRUE(chart.limits[0].of_x);
    EXPECT_EQ(chart.table.rows.size(), chart.series[0].dots.size());
    EXPECT_NEAR(*sheet.tables.at(0).rows.at(0).at(7).value, 2.0 / 3.0, 1e-9);
}

TEST(CapabilityAnswer, SaysWhyThereIsNoIndex) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    ledger.unit({"U1", {{"gain", 10.0, Stage::as_found, "K1", 8.0, 20.0}}});
    const auto answer = capability_answer(ledger.reader(), {}, Stage::as_found).value();
    ASSERT_EQ(answer.places.size(), 1u);
    EXPECT_FALSE(answer.places[0].figures);
    EXPECT_TRUE(to_json(answer).at("places").at(0).at("flaw").is_string());
}

TEST(CapabilityAnswer, SaysThatLimitsChanged) {
    test_support::QualityLedger ledger;
    ledger.lot("L-1");
    for (int i = 0; i < 20; ++i)
        ledger.unit({"U" + std::to_string(i),
                     {{"gain", 10.0 + 0.1 * i, Stage::as_found, "K1", i < 10 ? 5.0 : 8.0, 20.0}},
                     1,
                     record::Verdict::pass,
                     10 + i});
    const auto answer = capability_answer(ledger.reader(), {}, Stage::as_found).value();
    EXPECT_TRUE(answer.places[0].limits_changed);
    EXPECT_EQ(answer.places[0].limits.low, 8.0) << "the newest count";
}

}  // namespace
}  // namespace padtrim::answers
