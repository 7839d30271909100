#include "db/quality/control_charts.hpp"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "db/statistics/chart_constants.hpp"
#include "db/statistics/run_length.hpp"

namespace padtrim::quality {
namespace {

using statistics::Flaw;
using Subgroups = std::vector<std::vector<double>>;

Subgroups drawn_subgroups(std::mt19937_64& source, std::size_t groups, std::size_t size) {
    std::normal_distribution<double> normal(20.0, 3.0);
    Subgroups all(groups, std::vector<double>(size));
    for (auto& group : all)
        for (double& value : group) value = normal(source);
    return all;
}

TEST(ControlCharts, FindTheSigmaWithinSubgroups) {
    std::mt19937_64 source(21);
    const auto groups = drawn_subgroups(source, 2000, 5);
    EXPECT_NEAR(mean_and_range_chart(moments_of(groups))->sigma, 3.0, 0.1);
    EXPECT_NEAR(mean_and_deviation_chart(moments_of(groups))->sigma, 3.0, 0.1);
    const auto chart = *mean_and_range_chart(moments_of(groups));
    EXPECT_NEAR(chart.location.high - chart.location.centre, 3.0 * 3.0 / std::sqrt(5.0), 0.15);
}

// Simulation, seeded: one mean in 370 beyond limits from a long baseline: of 100 000 about 270
// (3 sigma of counting: 50, and the limits' own doubt).
TEST(ControlCharts, CallAFalseAlarmOnceInThreeHundredAndSeventy) {
    std::mt19937_64 source(22);
    const auto chart = *mean_and_range_chart(moments_of(drawn_subgroups(source, 20'000, 4)));
    std::normal_distribution<double> mean_of_four(20.0, 1.5);
    int alarms = 0;
    for (int i = 0; i < 100'000; ++i) alarms += chart.location.beyond(mean_of_four(source)) ? 1 : 0;
    EXPECT_NEAR(alarms, 270, 65);
}

TEST(ControlCharts, ShiftAndScaleWithTheValues) {
    std::mt19937_64 source(23);
    const auto groups = drawn_subgroups(source, 20, 5);
    auto moved = groups;
    for (auto& group : moved)
        for (double& value : group) value = 2.0 * value - 50.0;
    for (const auto chart : {mean_and_range_chart, mean_and_deviation_chart}) {
        const auto here = *chart(moments_of(groups)), there = *chart(moments_of(moved));
        EXPECT_NEAR(there.location.high, 2.0 * here.location.high - 50.0, 1e-12);
        EXPECT_NEAR(there.scatter.high, 2.0 * here.scatter.high, 1e-12);
        EXPECT_NEAR(there.sigma, 2.0 * here.sigma, 1e-12);
    }
}

// Of equal sizes it is the X-bar and s chart, but for the pooling of variances instead of
// deviations.
TEST(VaryingChart, GivesEachSubgroupTheLimitsOfItsSize) {
    std::mt19937_64 source(26);
    auto groups = drawn_subgroups(source, 400, 5);
    const auto alike = *varying_chart(moments_of(groups));
    const auto fixed = *mean_and_deviation_chart(moments_of(groups));
    EXPECT_NEAR(alike.sigma / fixed.sigma, 1.0, 0.02);
    EXPECT_NEAR(alike.scatter[0].high / fixed.scatter.high, 1.0, 0.02);
    groups[7].resize(2);
    groups.push_back(drawn_subgroups(source, 1, 1000).front());
    const auto varying = *varying_chart(moments_of(groups));
    EXPECT_NEAR(varying.location[7].high - varying.location[7].centre,
                3.0 * varying.sigma / std::sqrt(2.0), 1e-12);
    EXPECT_NEAR(varying.location[400].high - varying.location[400].centre,
                3.0 * varying.sigma / std::sqrt(1000.0), 1e-12);
    EXPECT_NEAR(varying.scatter[400].centre / varying.sigma, 1.0, 1e-3);
    groups[7].resize(1);
    EXPECT_EQ(varying_chart(moments_of(groups)).error(), Flaw::too_few_points);
    EXPECT_EQ(varying_chart({}).error(), Flaw::too_few_points);
    EXPECT_EQ(statistics::mean_of_deviation(0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(statistics::mean_of_deviation(NAN).error(), Flaw::not_finite);
}

TEST(IndividualsAndRange, LimitsTheMovingRangeToo) {
    const std::vector<double> flowrate{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const auto chart = *individuals_and_range_chart(flowrate);
    EXPECT_NEAR(chart.scatter.high, 6.13382104844, 1e-5);  // recomputed with exact D4
    EXPECT_EQ(chart.scatter.low, 0.0);
    EXPECT_EQ(individuals_and_range_chart(std::vector<double>(5, 1.0)).error(), Flaw::not_positive);
}

TEST(ShareChart, WidensForSmallSamplesAndStaysBetweenNoneAndAll) {
    const std::vector<statistics::Counted> samples{{2, 400}, {3, 400}, {1, 25}};
    const auto limits = *share_chart(samples);
    EXPECT_GT(limits[2].high, limits[0].high);
    for (const auto& each : limits) EXPECT_GE(each.low, 0.0);
    const std::vector<statistics::Counted> none{{0, 400}, {0, 9}};
    EXPECT_EQ(share_chart(none)->front().high, 0.0);
}

// Simulation, seeded: 200 000 samples; 3 sigma of counting is 15 %.
TEST(ShareChart, CallsFalseAlarmsAsOftenAsItsExactRunLengthSays) {
    std::mt19937_64 source(24);
    const auto limits =
        share_chart(std::vector<statistics::Counted>{{15, 300}, {15, 300}})->front();
    std::binomial_distribution<int> sample(300, 0.05);
    int alarms = 0;
    for (int i = 0; i < 200'000; ++i) alarms += limits.beyond(sample(source) / 300.0) ? 1 : 0;
    const double length = *statistics::share_run_length(limits.low, limits.high, 300, 0.05);
    EXPECT_NEAR(alarms * length / 200'000.0, 1.0, 0.15);
}

TEST(OccurrenceChart, CallsFalseAlarmsAsOftenAsItsExactRunLengthSays) {
    std::mt19937_64 source(25);
    const auto limits = occurrence_chart(std::vector<Occurrences>{{8.0, 2.0}, {8.0, 2.0}})->front();
    std::poisson_distribution<int> sample(8.0);
    int alarms = 0;
    for (int i = 0; i < 200'000; ++i) alarms += limits.beyond(sample(source) / 2.0) ? 1 : 0;
    const double length = *statistics::occurrence_run_length(limits.low, limits.high, 2.0, 4.0);
    EXPECT_NEAR(alarms * length / 200'000.0, 1.0, 0.15);
}

TEST(ControlCharts, NameEveryFlaw) {
    const Subgroups one{{1, 2}}, uneven{{1, 2}, {1, 2, 3}}, flat{{1, 1}, {1, 1}};
    const Subgroups bad{{1, 2}, {1, NAN}}, large(2, std::vector<double>(26, 1.0)), single{{1}, {2}};
    for (const auto chart : {mean_and_range_chart, mean_and_deviation_chart}) {
        EXPECT_EQ(chart(moments_of(one)).error(), Flaw::too_few_points);
        EXPECT_EQ(chart(moments_of(single)).error(), Flaw::too_few_points);
        EXPECT_EQ(chart(moments_of(uneven)).error(), Flaw::sizes_differ);
        EXPECT_EQ(chart(moments_of(flat)).error(), Flaw::not_positive);
        EXPECT_EQ(chart(moments_of(bad)).error(), Flaw::not_finite);
        EXPECT_EQ(chart(moments_of(large)).error(), Flaw::out_of_domain);
    }
    EXPECT_EQ(share_chart({}).error(), Flaw::too_few_points);
    EXPECT_EQ(share_chart(std::vector<statistics::Counted>{{2, 1}}).error(), Flaw::out_of_domain);
    EXPECT_EQ(occurrence_chart({}).error(), Flaw::too_few_points);
    EXPECT_EQ(occurrence_chart(std::vector<Occurrences>{{NAN, 1}}).error(), Flaw::not_finite);
    EXPECT_EQ(occurrence_chart(std::vector<Occurrences>{{1, 0}}).error(), Flaw::out_of_domain);
    using statistics::occurrence_run_length;
    using statistics::share_run_length;
    EXPECT_EQ(share_run_length(0.2, 0.1, 9, 0.1).error(), Flaw::out_of_domain);
    EXPECT_EQ(share_run_length(0.0, 1.0, 9, 0.1).error(), Flaw::out_of_domain);
    EXPECT_EQ(share_run_length(0.0, NAN, 9, 0.1).error(), Flaw::not_finite);
    EXPECT_EQ(share_run_length(0.0, 0.5, 9, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(occurrence_run_length(0.0, 1.0, 0.0, 1.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(occurrence_run_length(0.0, 1.0, 1.0, NAN).error(), Flaw::not_finite);
    EXPECT_EQ(statistics::chart_constants(1).error(), Flaw::too_few_points);
    EXPECT_EQ(statistics::chart_constants(26).error(), Flaw::out_of_domain);
    EXPECT_EQ(statistics::d2_of_ranges(5, 0).error(), Flaw::too_few_points);
}

}  // namespace
}  // namespace padtrim::quality
