// Risks, sequential boundaries, ranges and rounding beside GNU GSL's quadrature of the integrals
// that define them.
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gtest/gtest.h>

#include "db/statistics/range.hpp"
#include "db/statistics/resolution.hpp"
#include "db/statistics/sequential.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/risk.hpp"
#include "tests/peers/statistics/peer_numbers.hpp"

namespace padtrim::peers {
namespace {

using namespace statistics;

double normal_between(double low, double high) {
    return gsl_cdf_ugaussian_P(high) - gsl_cdf_ugaussian_P(low);
}

TEST(GroupBoundariesBesideGsl, TwoAndThreeLooksSpendTheStatedRisk) {
    for (const auto shape : {BoundaryShape::pocock, BoundaryShape::obrien_fleming}) {
        for (const double risk : {0.01, 0.05, 0.2}) {
            const auto two = *group_boundaries(shape, 2, risk);
            const double b1 = two[0], b2 = two[1] * std::sqrt(2.0);
            const double stays = integral(
                [&](double s) {
                    return gsl_ran_ugaussian_pdf(s) * normal_between(-b2 - s, b2 - s);
                },
                -b1, b1);
            EXPECT_NEAR(1.0 - stays, risk, 1e-7);
            const auto three = *group_boundaries(shape, 3, risk);
            const double c1 = three[0], c2 = three[1] * std::sqrt(2.0),
                         c3 = three[2] * std::sqrt(3.0);
            const auto second = [&](double s) {
                return integral(
                    [&](double t) {
                        return gsl_ran_ugaussian_pdf(t - s) * normal_between(-c3 - t, c3 - t);
                    },
                    -c2, c2, 1e-10);
            };
            const double all = integral(
                [&](double s) { return gsl_ran_ugaussian_pdf(s) * second(s); }, -c1, c1, 1e-9);
            EXPECT_NEAR(1.0 - all, risk, 1e-7);
        }
    }
}

TEST(GroupOutcomeBesideGsl, TwoLooksUnderADrift) {
    const std::vector<double> b{2.1, 1.9};
    for (const double drift : {-1.0, 0.0, 2.5}) {
        const double step = drift / std::sqrt(2.0), b2 = b[1] * std::sqrt(2.0);
        const double second = integral(
            [&](double s) {
                return gsl_ran_ugaussian_pdf(s - step) * gsl_cdf_ugaussian_Q(b2 - s - step);
            },
            -b[0], b[0]);
        const double above = gsl_cdf_ugaussian_Q(b[0] - step) + second;
        const auto ours = *group_outcome(b, drift);
        EXPECT_NEAR(ours.above, above, 1e-8);
        EXPECT_NEAR(ours.expected_looks, 1.0 + normal_between(-b[0] - step, b[0] - step), 1e-12);
    }
}

TEST(GlobalRiskBesideGsl, NormalProcessWithAndWithoutGuardBand) {
    const double mean = 0.3, spread = 1.0, doubt = 0.25;
    const metrology::Limits tolerance{-2.0, 2.0};
    for (const double w : {0.0, 0.2, 0.5}) {
        const metrology::Limits acceptance{-2.0 + w, 2.0 - w};
        const auto ours = *metrology::global_risk(metrology::normal_process(mean, spread), doubt,
                                                  tolerance, acceptance);
        const auto density = [&](double x) { return gsl_ran_gaussian_pdf(x - mean, spread); };
        const auto accepted = [&](double x) {
            return normal_between((*acceptance.low - x) / doubt, (*acceptance.high - x) / doubt);
        };
        const auto bad = [&](double x) { return density(x) * accepted(x); };
        const auto rejected = [&](double x) { return density(x) * (1.0 - accepted(x)); };
        const double consumer = integral(bad, -9.0, -2.0) + integral(bad, 2.0, 9.0);
        EXPECT_LT(relative_difference(ours.consumer, consumer), 1e-8) << w;
        EXPECT_LT(relative_difference(ours.producer, integral(rejected, -2.0, 2.0)), 1e-8) << w;
    }
}

TEST(ConformanceBesideGsl, StudentsStateOfKnowledge) {
    for (const double v : {2.5, 9.0, 60.0}) {
        const double p = *metrology::conformance_probability({1.2, 0.4, v}, {0.5, 2.0});
        const double theirs =
            gsl_cdf_tdist_P((2.0 - 1.2) / 0.4, v) - gsl_cdf_tdist_P((0.5 - 1.2) / 0.4, v);
        EXPECT_NEAR(p, theirs, 1e-10) << v;
    }
}

// E[range] = integral of 1 - P^n - Q^n (Tippett 1925).
TEST(RangeBesideGsl, ExpectedPeakToPeakWithinItsStatedError) {
    for (const int n : {2, 3, 7, 8, 13, 40, 64, 100, 300, 1000}) {
        const double expected = integral(
            [n](double x) {
                return 1.0 - gsl_pow_int(gsl_cdf_ugaussian_P(x), n) -
                       gsl_pow_int(gsl_cdf_ugaussian_Q(x), n);
            },
            -10.0, 10.0);
        const auto ours = *range_of_normal(static_cast<std::size_t>(n));
        EXPECT_LT(relative_difference(ours.mean, expected), 2e-3) << n;
    }
}

// The mean of ever so many rounded readings of a value m is sum k P(round = k); its square error
// averaged over where m lies between two counts.
TEST(RoundingBesideGsl, IsTheMeanSquareErrorOfRoundedMeans) {
    for (const double noise : {0.05, 0.1, 0.2, 0.3, 0.4}) {
        const auto square_error = [noise](double m) {
            double mean = 0.0;
            for (int k = -8; k <= 8; ++k) {
                mean += k * normal_between((k - 0.5 - m) / noise, (k + 0.5 - m) / noise);
            }
            return (mean - m) * (mean - m);
        };
        EXPECT_NEAR(*rounding_of_mean(noise * noise), integral(square_error, -0.5, 0.5), 1e-9)
            << noise;
    }
}

}  // namespace
}  // namespace padtrim::peers
