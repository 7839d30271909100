#include "db/statistics/individuals.hpp"

#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {
namespace {

std::vector<double> normal_values(std::mt19937_64& source, std::size_t count) {
    std::normal_distribution<double> normal(100.0, 2.0);
    std::vector<double> values(count);
    for (double& value : values) value = normal(source);
    return values;
}

// NIST/SEMATECH e-Handbook 6.3.2.2, flowrate example; its limits are printed for d2 = 1.128 and are
// recomputed here with the exact d2 (tests/checks has the published ones).
TEST(IndividualsChart, HasThePublishedCentreAndRange) {
    const std::vector<double> flowrate{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const auto chart = individuals_chart(flowrate).value();
    EXPECT_NEAR(chart.centre, 50.81, 1e-12);
    EXPECT_NEAR(chart.moving_range, 1.87777777778, 1e-11);
    EXPECT_NEAR(chart.high, 55.8024116801, 1e-9);
    EXPECT_NEAR(chart.low, 45.8175883199, 1e-9);
}

TEST(IndividualsChart, NeedsTwoFiniteValues) {
    EXPECT_EQ(individuals_chart(std::vector<double>{1.0}).error(), Flaw::too_few_points);
    EXPECT_EQ(individuals_chart(std::vector<double>{1.0, NAN}).error(), Flaw::not_finite);
}

// Simulation: 2 mean^2 / variance of the mean moving range is what Satterthwaite calls degrees of
// freedom of a scale, within 3 % over 2e5 baselines.
TEST(MovingRangeDegrees, AgreeWithTheScatterOfSimulatedBaselines) {
    std::mt19937_64 source(7);
    for (const std::size_t n : {3UL, 5UL, 10UL, 25UL}) {
        constexpr int trials = 200'000;
        double sum = 0.0, squares = 0.0;
        for (int i = 0; i < trials; ++i) {
            const double range = *mean_moving_range(normal_values(source, n));
            sum += range;
            squares += range * range;
        }
        const double mean = sum / trials, variance = squares / trials - mean * mean;
        const double degrees = mean * mean / (2.0 * variance);
        EXPECT_NEAR(*moving_range_degrees(n) / degrees, 1.0, 0.03) << n;
    }
}

TEST(JointFactor, IsThreeForOneChartThatKnowsEverything) {
    EXPECT_NEAR(*joint_factor(1, 1'000'000'000, INFINITY), 3.0, 1e-6);
}

TEST(JointFactor, GrowsWithChartsAndShrinksWithKnowledge) {
    EXPECT_GT(*joint_factor(32, 10, 40.0), *joint_factor(1, 10, 40.0));
    EXPECT_GT(*joint_factor(32, 5, 20.0), *joint_factor(32, 10, 40.0));
    EXPECT_EQ(joint_factor(0, 10, 40.0).error(), Flaw::too_few_points);
}

// Simulation: 16 charts that share a sigma, learned from 10 values each, then one new value each.
// The whole must raise a false alarm about as often as one chart of 3 sigma: 0.27 %. Over 4e4
// checks that is 108 +- 31 (3 sigma of counting); Student's shape for moving ranges is an
// approximation, so the bounds are wider.
TEST(JointFactor, KeepsTheFalseAlarmsOfAWholeCheckAtThoseOfOneChart) {
    std::mt19937_64 source(11);
    constexpr std::size_t charts = 16, baseline = 10;
    constexpr int checks = 40'000;
    const double factor = *joint_factor(
        charts, baseline, *moving_range_degrees(baseline) * static_cast<double>(charts));
    int alarms = 0;
    for (int i = 0; i < checks; ++i) {
        double sigma = 0.0;
        std::vector<double> centres;
        for (std::size_t c = 0; c < charts; ++c) {
            const auto chart = *individuals_chart(normal_values(source, baseline));
            centres.push_back(chart.centre);
            sigma += chart.sigma / charts;
        }
        const auto fresh = normal_values(source, charts);
        bool alarm = false;
        for (std::size_t c = 0; c < charts; ++c)
            alarm |= std::abs(fresh[c] - centres[c]) > factor * sigma;
        alarms += alarm ? 1 : 0;
    }
    EXPECT_GT(alarms, 50);
    EXPECT_LT(alarms, 200);
}

}  // namespace
}  // namespace padtrim::statistics
