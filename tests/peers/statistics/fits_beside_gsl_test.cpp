// Fits, inverse predictions and series beside GNU GSL on drawn data, where no value is published.
#include <algorithm>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_fft_real.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_roots.h>
#include <gsl/gsl_statistics.h>
#include <gtest/gtest.h>

#include "db/statistics/anova.hpp"
#include "db/statistics/correlation.hpp"
#include "db/statistics/least_squares.hpp"
#include "db/statistics/moments.hpp"
#include "db/statistics/series.hpp"
#include "db/statistics/straight_line.hpp"
#include "tests/peers/statistics/peer_numbers.hpp"

namespace padtrim::peers {
namespace {

using namespace statistics;

TEST(StraightLineBesideGsl, EqualErrorsWithCovariance) {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const DrawnLine d = drawn_line(seed);
        double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, squares = 0;
        gsl_fit_linear(d.x.data(), 1, d.y.data(), 1, d.x.size(), &c0, &c1, &v00, &v01, &v11,
                       &squares);
        const auto line = *line_of_equal(d.x, d.y);
        EXPECT_LT(relative_difference(line.intercept, c0), 1e-10);
        EXPECT_LT(relative_difference(line.slope, c1), 1e-12);
        EXPECT_LT(relative_difference(line.intercept_variance, v00), 1e-11);
        EXPECT_LT(relative_difference(line.covariance, v01), 1e-11);
        EXPECT_LT(relative_difference(line.slope_variance, v11), 1e-11);
        EXPECT_LT(relative_difference(line.residual_squares, squares), 1e-11);
    }
}

TEST(StraightLineBesideGsl, WeightedWithCovariance) {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const DrawnLine d = drawn_line(seed);
        std::vector<double> w;
        for (const double u : d.uy) w.push_back(1.0 / (u * u));
        double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, squares = 0;
        gsl_fit_wlinear(d.x.data(), 1, w.data(), 1, d.y.data(), 1, d.x.size(), &c0, &c1, &v00, &v01,
                        &v11, &squares);
        const auto line = *line_of_weighted(d.x, d.y, d.uy);
        EXPECT_LT(relative_difference(line.intercept, c0), 1e-10);
        EXPECT_LT(relative_difference(line.slope, c1), 1e-11);
        EXPECT_LT(relative_difference(line.intercept_variance, v00), 1e-11);
        EXPECT_LT(relative_difference(line.covariance, v01), 1e-11);
        EXPECT_LT(relative_difference(line.slope_variance, v11), 1e-11);
        EXPECT_LT(relative_difference(line.residual_squares, squares), 1e-11);
    }
}

// Generalised least squares by hand with GSL: whiten by the Cholesky factor, then its ordinary fit.
TEST(GeneralisedBesideGsl, FullCovarianceOfTheReadings) {
    constexpr std::size_t n = 9, p = 3;
    for (std::uint64_t seed = 1; seed <= 50; ++seed) {
        const auto drawn = drawn_series(seed, n * p + n + n * n);
        std::vector<double> design(drawn.begin(), drawn.begin() + n * p);
        for (std::size_t i = 0; i < n; ++i) design[i * p] = 1.0;
        const std::vector<double> y(drawn.begin() + n * p, drawn.begin() + n * p + n);
        std::vector<double> v(n * n, 0.0);
        for (std::size_t i = 0; i < n; ++i) {
            for (std::size_t k = 0; k < n; ++k) {
                for (std::size_t m = 0; m < n; ++m) {
                    v[i * n + k] += drawn[n * p + n + i * n + m] * drawn[n * p + n + k * n + m];
                }
            }
            v[i * n + i] += 0.5;
        }
        gsl_matrix* factor = gsl_matrix_alloc(n, n);
        std::copy(v.begin(), v.end(), factor->data);
        gsl_linalg_cholesky_decomp1(factor);
        gsl_matrix* x = gsl_matrix_alloc(n, p);
        std::copy(design.begin(), design.end(), x->data);
        gsl_vector* z = gsl_vector_alloc(n);
        std::copy(y.begin(), y.end(), z->data);
        const auto whiten = [&](double* column, std::size_t stride) {
            for (std::size_t i = 0; i < n; ++i) {
                double sum = column[i * stride];
                for (std::size_t k = 0; k < i; ++k) {
                    sum -= gsl_matrix_get(factor, i, k) * column[k * stride];
                }
                column[i * stride] = sum / gsl_matrix_get(factor, i, i);
            }
        };
        for (std::size_t k = 0; k < p; ++k) whiten(x->data + k, p);
        whiten(z->data, 1);
        gsl_vector* c = gsl_vector_alloc(p);
        gsl_matrix* covariance = gsl_matrix_alloc(p, p);
        gsl_multifit_linear_workspace* room = gsl_multifit_linear_alloc(n, p);
        double squares = 0.0;
        gsl_multifit_linear(x, z, c, covariance, &squares, room);
        const auto ours = *fit_generalised(design, p, y, v);
        const double scale = squares / (n - p);  // GSL's covariance is scaled with the residuals
        EXPECT_LT(relative_difference(ours.residual_squares, squares), 1e-9);
        for (std::size_t i = 0; i < p; ++i) {
            EXPECT_LT(relative_difference(ours.estimate[i], gsl_vector_get(c, i)), 1e-9) << seed;
            for (std::size_t k = 0; k < p; ++k) {
                const double theirs = gsl_matrix_get(covariance, i, k) / scale;
                EXPECT_LT(relative_difference(ours.covariance_of(i, k), theirs), 1e-8) << seed;
            }
        }
        gsl_multifit_linear_free(room);
        gsl_matrix_free(covariance);
        gsl_vector_free(c);
        gsl_vector_free(z);
        gsl_matrix_free(x);
        gsl_matrix_free(factor);
    }
}

// York's line is the minimum of the weighted squares over slope and intercept.
TEST(YorkBesideGsl, IsTheMinimumOfTheWeightedSquares) {
    for (std::uint64_t seed = 1; seed <= 30; ++seed) {
        const DrawnLine d = drawn_line(seed, 12);
        const std::vector<double> r(d.x.size(), seed % 3 == 0 ? 0.5 : 0.0);
        auto squares = [&](double slope) {
            double total = 0.0, sum = 0.0;
            std::vector<double> w;
            for (std::size_t i = 0; i < d.x.size(); ++i) {
                const double ux = slope * d.ux[i], uy = d.uy[i];
                w.push_back(1.0 / (uy * uy + ux * ux - 2.0 * r[i] * ux * uy));
                total += w[i];
                sum += w[i] * (d.y[i] - slope * d.x[i]);
            }
            double s = 0.0;
            for (std::size_t i = 0; i < d.x.size(); ++i) {
                const double e = d.y[i] - slope * d.x[i] - sum / total;
                s += w[i] * e * e;
            }
            return s;
        };
        const auto york = *line_of_york(d.x, d.ux, d.y, d.uy, r);
        gsl_function function = function_of(squares);
        gsl_min_fminimizer* search = gsl_min_fminimizer_alloc(gsl_min_fminimizer_brent);
        gsl_min_fminimizer_set(search, &function, york.slope + 1e-3, 1.0, 3.0);
        for (int i = 0; i < 100; ++i) {
            if (gsl_min_fminimizer_iterate(search) != GSL_SUCCESS) break;
        }
        EXPECT_NEAR(york.slope, gsl_min_fminimizer_x_minimum(search), 1e-6) << seed;
        EXPECT_LT(relative_difference(york.chi_squared, gsl_min_fminimizer_f_minimum(search)),
                  1e-11);
        gsl_min_fminimizer_free(search);
    }
}

// Fieller's ends are where the statistic (y - line(x)) / its deviation reaches Student's quantile.
TEST(InversePredictionBesideGsl, EndsWhereStudentsStatisticDoes) {
    for (std::uint64_t seed = 1; seed <= 30; ++seed) {
        const DrawnLine d = drawn_line(seed);
        const auto line = *line_of_equal(d.x, d.y);
        const double y = 3.0 + 2.0 * 3.3, readings = 4.0;
        const auto inverse = *inverse_prediction(line, y, readings, 0.95);
        const double t = gsl_cdf_tdist_Pinv(0.975, static_cast<double>(d.x.size()) - 2.0);
        auto beyond = [&](double x) {
            const double e = y - line.at(x);
            return e * e - t * t * (line.residual_variance / readings + line.variance_at(x));
        };
        gsl_function function = function_of(beyond);
        const auto root = [&](double low, double high) {
            gsl_root_fsolver* solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
            gsl_root_fsolver_set(solver, &function, low, high);
            for (int i = 0; i < 200; ++i) gsl_root_fsolver_iterate(solver);
            const double found = gsl_root_fsolver_root(solver);
            gsl_root_fsolver_free(solver);
            return found;
        };
        EXPECT_NEAR(inverse.low, root(inverse.x - 30.0, inverse.x), 1e-8) << seed;
        EXPECT_NEAR(inverse.high, root(inverse.x, inverse.x + 30.0), 1e-8) << seed;
    }
}

TEST(MomentsBesideGsl, MeanDeviationAndLagOne) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        auto x = drawn_series(seed, 200);
        for (double& value : x) value += 1e5;
        const Moments moments = Moments::of(x);
        EXPECT_LT(relative_difference(*moments.mean(), gsl_stats_mean(x.data(), 1, x.size())),
                  1e-14);
        EXPECT_LT(
            relative_difference(*moments.variance(), gsl_stats_variance(x.data(), 1, x.size())),
            1e-9);
        const double lag = gsl_stats_lag1_autocorrelation(x.data(), 1, x.size());
        EXPECT_NEAR(*lag_one(stretch_of(x)), lag, 1e-9);
    }
}

TEST(StrongestToneBesideGsl, IsTheLargestOrdinateOfItsTransform) {
    for (const std::size_t n : {16U, 64U, 256U}) {
        const auto x = drawn_series(n, n);
        auto transform = x;
        const double mean = gsl_stats_mean(x.data(), 1, n);
        for (double& value : transform) value -= mean;
        gsl_fft_real_radix2_transform(transform.data(), 1, n);
        double most = 0.0, total = 0.0;
        std::size_t at = 0;
        for (std::size_t k = 1; k < n / 2; ++k) {
            const double power = transform[k] * transform[k] + transform[n - k] * transform[n - k];
            total += power;
            if (power > most) at = k;
            most = std::max(most, power);
        }
        const Tone tone = *strongest_tone(x);
        EXPECT_NEAR(tone.frequency, static_cast<double>(at) / static_cast<double>(n), 1e-12);
        EXPECT_LT(relative_difference(tone.share, most / total), 1e-10);
        EXPECT_LT(
            relative_difference(tone.amplitude, 2.0 * std::sqrt(most) / static_cast<double>(n)),
            1e-10);
    }
}

TEST(SignificancesBesideGsl, OfAnovaAndLackOfFit) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto x = drawn_series(seed, 24);
        const std::vector<std::vector<double>> groups{
            {x.begin(), x.begin() + 7}, {x.begin() + 7, x.begin() + 15}, {x.begin() + 15, x.end()}};
        const auto anova = *one_way_anova(groups);
        EXPECT_LT(relative_difference(anova.significance, gsl_cdf_fdist_Q(anova.f, 2.0, 21.0)),
                  1e-9);
        std::vector<double> places;
        for (std::size_t i = 0; i < x.size(); ++i) places.push_back(static_cast<double>(i % 4));
        const auto lack = *lack_of_fit(places, x);
        EXPECT_LT(relative_difference(lack.significance, gsl_cdf_fdist_Q(lack.f, 2.0, 20.0)), 1e-9);
    }
}

}  // namespace
}  // namespace padtrim::peers
