// Distribution functions, proportions and critical values beside GNU GSL, at arguments that no
// table prints: fractional degrees of freedom, far tails.
#include <gsl/gsl_cdf.h>
#include <gtest/gtest.h>

#include "db/statistics/binomial.hpp"
#include "db/statistics/distributions.hpp"
#include "db/statistics/series.hpp"
#include "station/metrology/joint_region.hpp"
#include "tests/peers/statistics/peer_numbers.hpp"

namespace padtrim::peers {
namespace {

using namespace statistics;

constexpr double probabilities[] = {1e-9, 1e-4, 0.01, 0.1, 0.4, 0.6, 0.9, 0.975, 0.9999};
constexpr double degrees_of_freedom[] = {1.0, 2.5, 5.0, 16.75, 50.0, 333.3};

TEST(DistributionsBesideGsl, NormalAndStudent) {
    for (const double p : probabilities) {
        EXPECT_LT(relative_difference(*normal_quantile(p), gsl_cdf_ugaussian_Pinv(p)), 1e-11) << p;
        for (const double v : degrees_of_freedom) {
            const double t = gsl_cdf_tdist_Pinv(p, v);
            // With one degree and p = 1e-9 GSL is 5e-8 off the closed form, which stands below.
            const double allowed = p < 1e-6 && v < 2.0 ? 1e-7 : 1e-8;
            EXPECT_LT(relative_difference(*student_quantile(p, v), t), allowed) << p << " " << v;
            EXPECT_LT(relative_difference(*student_probability(t, v), gsl_cdf_tdist_P(t, v)), 1e-9)
                << p << " " << v;
        }
    }
}

// One degree of freedom is Cauchy's distribution: t = -cot(pi p).
TEST(DistributionsBesideGsl, StudentOfOneDegreeInClosedForm) {
    for (const double p : {1e-9, 1e-4, 0.2}) {
        EXPECT_LT(relative_difference(*student_quantile(p, 1.0), -1.0 / std::tan(M_PI * p)), 1e-12);
    }
}

TEST(DistributionsBesideGsl, CoverageFactors) {
    for (const double coverage : {0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973}) {
        for (const double v : {1.0, 3.3, 16.75, 63.0, 500.0, 1e4, 1e6}) {
            const double k = gsl_cdf_tdist_Pinv(0.5 * (1.0 + coverage), v);
            EXPECT_LT(relative_difference(*coverage_factor(coverage, v), k), 1e-8)
                << coverage << " " << v;
        }
    }
}

TEST(DistributionsBesideGsl, ChiSquaredAndFisher) {
    for (const double p : probabilities) {
        for (const double v : degrees_of_freedom) {
            const double x = gsl_cdf_chisq_Pinv(p, v);
            EXPECT_LT(relative_difference(*chi_squared_quantile(p, v), x), 1e-7) << p << " " << v;
            EXPECT_LT(relative_difference(*chi_squared_probability(x, v), gsl_cdf_chisq_P(x, v)),
                      1e-9)
                << p << " " << v;
            const double f = *fisher_quantile(p, v, 7.5);
            EXPECT_LT(relative_difference(gsl_cdf_fdist_P(f, v, 7.5), p), 1e-8) << p << " " << v;
            EXPECT_LT(relative_difference(*fisher_upper_probability(f, v, 7.5),
                                          gsl_cdf_fdist_Q(f, v, 7.5)),
                      1e-8)
                << p << " " << v;
        }
    }
}

TEST(DistributionsBesideGsl, JointRegionsLimit) {
    for (const double v : {3.0, 16.75, 200.0}) {
        const double f = 2.0 * gsl_cdf_fdist_Pinv(0.95, 2.0, v);
        EXPECT_LT(relative_difference(*metrology::joint_limit(v), f), 1e-7) << v;
    }
}

TEST(ProportionsBesideGsl, ClopperPearsonFromBetaQuantiles) {
    for (const unsigned n : {1U, 7U, 40U, 1000U}) {
        for (unsigned x = 0; x <= n; x += 1 + n / 6) {
            const auto ours = *clopper_pearson_interval(x, n, 0.95);
            const double low = x == 0 ? 0.0 : gsl_cdf_beta_Pinv(0.025, x, n - x + 1.0);
            const double high = x == n ? 1.0 : gsl_cdf_beta_Pinv(0.975, x + 1.0, n - x);
            EXPECT_NEAR(ours.low, low, 1e-9) << x << " of " << n;
            EXPECT_NEAR(ours.high, high, 1e-9) << x << " of " << n;
        }
    }
}

TEST(GrubbsBesideGsl, CriticalValuesFromStudentsQuantiles) {
    for (const std::size_t n : {3U, 8U, 30U, 500U}) {
        for (const double significance : {0.05, 0.01}) {
            const double count = static_cast<double>(n);
            const double t = gsl_cdf_tdist_Qinv(significance / (2.0 * count), count - 2.0);
            const double critical =
                (count - 1.0) / std::sqrt(count) * std::sqrt(t * t / (count - 2.0 + t * t));
            EXPECT_LT(
                relative_difference(grubbs(drawn_series(n, n), significance)->critical, critical),
                1e-8)
                << n;
        }
    }
}

}  // namespace
}  // namespace padtrim::peers
