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

}  // namespace
}  // namespace padtrim::statistics
