#include "db/statistics/distributions.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

TEST(Distributions, QuantilesInvertProbabilities) {
    for (const double p : {1e-6, 0.025, 0.5, 0.9, 0.999}) {
        EXPECT_NEAR(normal_probability(*normal_quantile(p)), p, 1e-12);
        for (const double v : {1.0, 2.5, 30.0, 1e13}) {
            EXPECT_NEAR(*student_probability(*student_quantile(p, v), v), p, 1e-11);
        }
        EXPECT_NEAR(*chi_squared_probability(*chi_squared_quantile(p, 4.0), 4.0), p, 1e-11);
        EXPECT_NEAR(1.0 - *fisher_upper_probability(*fisher_quantile(p, 3.0, 8.0), 3.0, 8.0), p,
                    1e-11);
    }
}

TEST(Distributions, CoverageFactorFallsWithDegreesWithoutAStep) {
    double last = *coverage_factor(0.95, 1.0);
    for (double v = 1.5; v < 5000.0; v *= 1.07) {
        const double k = *coverage_factor(0.95, v);
        EXPECT_LT(k, last);
        last = k;
    }
    // Where the series takes over.
    EXPECT_NEAR(*coverage_factor(0.95, 200.0 * (1 - 1e-12)), *coverage_factor(0.95, 200.0), 1e-9);
}

// The interpolated cases against those beside them, which are not: the probability itself, and the
// quantile at a probability next to theirs.
TEST(Quantiles, OfTheUsualCaseEqualTheGeneralOnes) {
    for (double v = 2.0; v < 2e6; v *= 1.07) {
        if (v < 200.0) {
            EXPECT_NEAR(*student_probability(*coverage_factor(0.95, v), v), 0.975, 2e-14) << v;
            EXPECT_NEAR(*coverage_factor(0.95, v) / *student_quantile(0.975, v), 1.0, 2e-13) << v;
        }
        for (const double p : {0.025, 0.975}) {
            EXPECT_NEAR(*chi_squared_probability(*chi_squared_quantile(p, v), v), p, 1e-12) << v;
            const double beside = *chi_squared_quantile(p * (1.0 + 1e-12), v);
            EXPECT_NEAR(*chi_squared_quantile(p, v) / beside, 1.0, 1e-10) << v;
        }
    }
}

TEST(Distributions, StudentTailOfOneDegreeIsCauchy) {
    // P(T <= t) = 1/2 + atan(t)/pi: textbook form of the Cauchy distribution.
    for (const double t : {-3.0, 0.2, 12.7}) {
        EXPECT_NEAR(*student_probability(t, 1.0), 0.5 + std::atan(t) / std::acos(-1.0), 1e-14);
    }
}

TEST(Distributions, NameArgumentsOutsideTheDomain) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double p : {0.0, 1.0, -0.5, nan}) {
        EXPECT_EQ(normal_quantile(p).error(), Flaw::out_of_domain);
        EXPECT_EQ(student_quantile(p, 3.0).error(), Flaw::out_of_domain);
        EXPECT_EQ(coverage_factor(p, 3.0).error(), Flaw::out_of_domain);
        EXPECT_EQ(chi_squared_quantile(p, 3.0).error(), Flaw::out_of_domain);
        EXPECT_EQ(fisher_quantile(p, 3.0, 3.0).error(), Flaw::out_of_domain);
    }
    EXPECT_EQ(student_probability(nan, 3.0).error(), Flaw::not_finite);
    EXPECT_EQ(student_probability(1.0, 0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(chi_squared_probability(-1.0, 3.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(fisher_upper_probability(INFINITY, 3.0, 3.0).error(), Flaw::not_finite);
}

// As the degrees grow without end F tends to chi-squared over its own (Abramowitz and Stegun
// 26.6.11); 5.991464547 = -2 ln 0.05 is the 95 % quantile of two degrees, in closed form.
TEST(Fisher, TendsToChiSquaredWithInfiniteDegrees) {
    const double infinity = std::numeric_limits<double>::infinity();
    // P(chi-squared of 3 > 6), Abramowitz and Stegun table 26.7: 0.11161.
    EXPECT_NEAR(*fisher_upper_probability(2.0, 3.0, infinity), 0.11161, 5e-6);
    EXPECT_NEAR(*fisher_upper_probability(2.0, 3.0, 1e9), 0.11161, 5e-6);
    EXPECT_NEAR(*fisher_quantile(0.95, 2.0, infinity), 5.991464547107979 / 2.0, 1e-12);
    EXPECT_NEAR(*fisher_quantile(0.05, infinity, 2.0), 2.0 / 5.991464547107979, 1e-12);
    EXPECT_NEAR(*fisher_upper_probability(0.4, infinity, 7.0),
                *fisher_upper_probability(0.4, 1e9, 7.0), 1e-7);
    EXPECT_EQ(*fisher_upper_probability(0.0, infinity, 7.0), 1.0);
    EXPECT_EQ(fisher_upper_probability(2.0, infinity, infinity).error(), Flaw::out_of_domain);
    EXPECT_EQ(fisher_quantile(0.5, infinity, infinity).error(), Flaw::out_of_domain);
    EXPECT_EQ(chi_squared_probability(2.0, infinity).error(), Flaw::out_of_domain);
    EXPECT_EQ(chi_squared_quantile(0.5, infinity).error(), Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::statistics
