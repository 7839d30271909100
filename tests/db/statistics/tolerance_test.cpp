// What tolerance intervals promise, held against drawn samples; the tables stand in tests/checks.
#include "db/statistics/tolerance.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {
namespace {

constexpr int samples = 4000;

// Share of samples whose interval holds the content that was asked for.
template <class Interval>
double holding(std::uint64_t n, double content, Interval interval) {
    std::mt19937_64 random(7);
    std::normal_distribution<> normal;
    int held = 0;
    for (int i = 0; i < samples; ++i) {
        std::vector<double> values(n);
        for (double& value : values) value = normal(random);
        const auto [low, high] = interval(values);
        held += normal_probability(high) - normal_probability(low) >= content ? 1 : 0;
    }
    return static_cast<double>(held) / samples;
}

TEST(ToleranceIntervals, OfNormalSamplesHoldTheirContentAsOftenAsStated) {
    const double k = *tolerance_factor(12, {0.9, 0.95}, Sides::both);
    const double held = holding(12, 0.9, [k](const std::vector<double>& values) {
        double mean = 0.0, squares = 0.0;
        for (const double value : values) mean += value / static_cast<double>(values.size());
        for (const double value : values) squares += (value - mean) * (value - mean);
        const double s = std::sqrt(squares / static_cast<double>(values.size() - 1));
        return std::pair(mean - k * s, mean + k * s);
    });
    EXPECT_NEAR(held, 0.95, 0.012);  // three and a half standard deviations of 4000 draws
}

TEST(ToleranceIntervals, FromOrderStatisticsHoldAtLeastAsOftenAsStated) {
    const std::uint64_t ranks = *tolerance_ranks(100, {0.9, 0.95});
    EXPECT_EQ(ranks, 5U);  // P(Bin(100, 0.1) >= 5) = 0.976, >= 6 is 0.942
    const double held = holding(100, 0.9, [ranks](std::vector<double> values) {
        std::sort(values.begin(), values.end());
        return std::pair(values[ranks / 2 - 1], values[values.size() - (ranks - ranks / 2)]);
    });
    EXPECT_GE(held, 0.965);
    EXPECT_LE(held, 0.987);
}

TEST(ToleranceIntervals, NarrowToTheNormalQuantileAsTheSampleGrows) {
    EXPECT_NEAR(*tolerance_factor(1'000'000, {0.95, 0.95}, Sides::both), 1.9599639845, 5e-3);
    EXPECT_NEAR(*tolerance_factor(1'000'000, {0.95, 0.95}, Sides::one), 1.6448536270, 5e-3);
    double before = 1e9;
    for (const std::uint64_t n : {2, 3, 5, 10, 30, 100, 1000}) {
        const double k = *tolerance_factor(n, {0.99, 0.95}, Sides::both);
        EXPECT_LT(k, before);
        before = k;
    }
}

TEST(ToleranceIntervals, GiveNoLimitsFromTooFewValues) {
    EXPECT_EQ(*tolerance_ranks(92, {0.95, 0.95}), 1U);
    EXPECT_EQ(*tolerance_ranks(93, {0.95, 0.95}), 2U);
    EXPECT_EQ(*tolerance_ranks(58, {0.95, 0.95}), 0U);
    EXPECT_EQ(tolerance_factor(1, {0.95, 0.95}, Sides::both).error(), Flaw::too_few_points);
    EXPECT_EQ(tolerance_ranks(0, {0.95, 0.95}).error(), Flaw::too_few_points);
}

TEST(ToleranceIntervals, RefuseSharesThatAreNone) {
    for (const ToleranceAim aim : {ToleranceAim{0.0, 0.9}, ToleranceAim{1.0, 0.9},
                                   ToleranceAim{0.9, 0.0}, ToleranceAim{0.9, NAN}}) {
        EXPECT_EQ(tolerance_factor(10, aim, Sides::both).error(), Flaw::out_of_domain);
        EXPECT_EQ(tolerance_ranks(10, aim).error(), Flaw::out_of_domain);
        EXPECT_EQ(tolerance_sample(1, aim).error(), Flaw::out_of_domain);
    }
    EXPECT_EQ(tolerance_sample(0, {0.9, 0.9}).error(), Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::statistics
