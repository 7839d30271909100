#include "db/statistics/binomial.hpp"

#include <cmath>
#include <string>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

struct Published {
    std::uint64_t successes, trials;
    double exact_low, exact_high, wilson_low, wilson_high;
};

// Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17
// (1998) 857, Table I: 81/263, 15/148, 0/20, 1/29, as printed (4 decimals).
constexpr Published newcombe[] = {
    {81, 263, 0.2527, 0.3676, 0.2553, 0.3662},
    {15, 148, 0.0578, 0.1617, 0.0624, 0.1605},
    {0, 20, 0.0, 0.1684, 0.0, 0.1611},
    {1, 29, 0.0009, 0.1776, 0.0061, 0.1718},
};

// Recomputed from the definitions with an independent beta quantile (no published table).
constexpr Published recomputed[] = {
    {81, 263, 0.252736745585, 0.367621922601, 0.255288519878, 0.366209576983},
    {0, 10, 0.0, 0.308497107819, 0.0, 0.277532799863},
    {1, 10, 0.002528578544, 0.445016117028, 0.017876213095, 0.404150026795},
    {5, 20, 0.086571469101, 0.491045871708, 0.111861701408, 0.468700877619},
    {20, 20, 0.831566529017, 1.0, 0.838874841947, 1.0},
    {490, 500, 0.963527591708, 0.990368570414, 0.963579816753, 0.989100816404},
    {3, 1000, 0.000619099932, 0.008742023238, 0.001020783881, 0.008783014054},
    {500, 1000, 0.468549172972, 0.531450827028, 0.469069600368, 0.530930399632},
};

void expect_near(const Published& row, double tolerance) {
    const auto exact = clopper_pearson_interval(row.successes, row.trials, 0.95);
    const auto wilson = wilson_interval(row.successes, row.trials, 0.95);
    ASSERT_TRUE(exact && wilson);
    SCOPED_TRACE(std::to_string(row.successes) + "/" + std::to_string(row.trials));
    EXPECT_NEAR(exact->low, row.exact_low, tolerance);
    EXPECT_NEAR(exact->high, row.exact_high, tolerance);
    EXPECT_NEAR(wilson->low, row.wilson_low, tolerance);
    EXPECT_NEAR(wilson->high, row.wilson_high, tolerance);
}

TEST(BinomialIntervals, EqualTheTableOfNewcombe) {
    for (const Published& row : newcombe) expect_near(row, 0.5e-4);
}

TEST(BinomialIntervals, EqualAnIndependentComputationToTenDigits) {
    for (const Published& row : recomputed) expect_near(row, 1e-11);
}

// From the definition: at the exact interval's ends the tail is half of what is left out.
TEST(BinomialIntervals, ExactEndsLeaveHalfOfTheRestInEachTail) {
    const auto interval = clopper_pearson_interval(2, 3, 0.9).value();
    const double p = interval.low;
    EXPECT_NEAR(3 * p * p * (1 - p) + p * p * p, 0.05, 1e-12);  // P(X >= 2)
    const double q = interval.high;
    EXPECT_NEAR(1 - q * q * q, 0.05, 1e-12);  // P(X <= 2)
}

TEST(BinomialIntervals, MirrorSuccessesAndFailures) {
    for (std::uint64_t x = 0; x <= 7; ++x) {
        for (const auto interval : {wilson_interval, clopper_pearson_interval}) {
            const auto here = interval(x, 7, 0.95).value();
            const auto there = interval(7 - x, 7, 0.95).value();
            EXPECT_NEAR(here.low, 1.0 - there.high, 1e-14);
            EXPECT_LE(here.low, static_cast<double>(x) / 7.0);
            EXPECT_GE(here.high, static_cast<double>(x) / 7.0);
        }
    }
}

TEST(BinomialIntervals, NameTheFlawOfSenselessCounts) {
    for (const auto interval : {wilson_interval, clopper_pearson_interval}) {
        EXPECT_EQ(interval(0, 0, 0.95).error(), Flaw::too_few_points);
        EXPECT_EQ(interval(4, 3, 0.95).error(), Flaw::out_of_domain);
        EXPECT_EQ(interval(1, 3, 1.0).error(), Flaw::out_of_domain);
        EXPECT_EQ(interval(1, 3, 0.0).error(), Flaw::out_of_domain);
        EXPECT_EQ(interval(1, 3, std::nan("")).error(), Flaw::out_of_domain);
    }
}

}  // namespace
}  // namespace padtrim::statistics
