#include "db/quality/wander.hpp"

#include <vector>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::Flaw;

// Of equal weights the sum is that of squares about the mean: 1, 2, 3 with uncertainty 1 is
// chi-squared 2 with 2 degrees, exp(-1) beyond (closed form of two degrees).
TEST(Wander, IsChiSquaredAboutTheWeightedMean) {
    const std::vector<double> means = {1.0, 2.0, 3.0}, ones(3, 1.0);
    const auto wander = wander_of(means, ones).value();
    EXPECT_NEAR(wander.ratio, 1.0, 1e-12);
    EXPECT_NEAR(wander.significance, 0.36787944117144233, 1e-9);
}

// The 95 % point of chi-squared with 4 degrees is 9.488 (NIST/SEMATECH e-Handbook 1.3.6.7.4).
TEST(Wander, ReachesThePublishedPointOfTheTable) {
    const double apart = std::sqrt(9.488 / 2.0);
    const std::vector<double> means = {5.0 - apart, 5.0, 5.0, 5.0, 5.0 + apart}, ones(5, 1.0);
    EXPECT_NEAR(wander_of(means, ones)->significance, 0.05, 1e-4);
}

TEST(Wander, GivesPreciseMeansMoreWeight) {
    const std::vector<double> means = {10.0, 10.0, 12.0}, standards = {0.1, 0.1, 10.0};
    EXPECT_GT(wander_of(means, standards)->significance, 0.9);
}

TEST(Wander, NamesEveryFlaw) {
    const std::vector<double> one = {1.0}, two = {1.0, 2.0}, zero = {1.0, 0.0};
    EXPECT_EQ(wander_of(one, one).error(), Flaw::too_few_points);
    EXPECT_EQ(wander_of(two, one).error(), Flaw::sizes_differ);
    EXPECT_EQ(wander_of(two, zero).error(), Flaw::not_positive);
    const std::vector<double> none = {1.0, NAN};
    EXPECT_EQ(wander_of(none, two).error(), Flaw::not_finite);
}

}  // namespace
}  // namespace padtrim::quality
