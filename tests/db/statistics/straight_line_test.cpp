#include "db/statistics/straight_line.hpp"

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"
#include "db/statistics/least_squares.hpp"

namespace padtrim::statistics {
namespace {

struct Data {
    std::vector<double> x, y, u;
};

Data random_data(std::uint64_t seed, std::size_t n = 8) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    Data data;
    for (std::size_t i = 0; i < n; ++i) {
        data.x.push_back(normal(engine));
        data.u.push_back(0.1 + std::abs(normal(engine)));
        data.y.push_back(3.0 + 2.0 * data.x[i] + data.u[i] * normal(engine));
    }
    return data;
}

TEST(StraightLine, EqualsTheGeneralSolver) {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const Data d = random_data(seed);
        std::vector<double> design;
        for (const double x : d.x) design.insert(design.end(), {1.0, x});
        const auto line = *line_of_weighted(d.x, d.y, d.u);
        const auto general = *fit_weighted(design, 2, d.y, d.u);
        EXPECT_NEAR(line.intercept, general.estimate[0], 1e-10);
        EXPECT_NEAR(line.slope, general.estimate[1], 1e-10);
        EXPECT_NEAR(line.intercept_variance, general.variance(0), 1e-10);
        EXPECT_NEAR(line.slope_variance, general.variance(1), 1e-10);
        EXPECT_NEAR(line.covariance, general.covariance_of(0, 1), 1e-10);
        EXPECT_NEAR(line.residual_squares, general.residual_squares, 1e-9);
    }
}

TEST(StraightLine, OfCorrelatedReadingsEqualsTheGeneralSolver) {
    for (const std::size_t n : {2U, 8U, 16U, 17U, 30U}) {
        const Data d = random_data(n, n);
        std::vector<double> design, v(n * n, 0.0);
        for (std::size_t i = 0; i < n; ++i) {
            design.insert(design.end(), {1.0, d.x[i]});
            for (std::size_t k = 0; k < n; ++k) {
                v[i * n + k] = d.u[i] * d.u[k] * (i == k ? 1.0 : (i % 2 == k % 2 ? 0.5 : 0.1));
            }
        }
        const auto line = *line_of_correlated(d.x, d.y, v);
        const auto general = *fit_generalised(design, 2, d.y, v);
        EXPECT_NEAR(line.intercept, general.estimate[0], 1e-10) << n;
        EXPECT_NEAR(line.slope, general.estimate[1], 1e-10) << n;
        EXPECT_NEAR(line.intercept_variance, general.variance(0), 1e-10) << n;
        EXPECT_NEAR(line.slope_variance, general.variance(1), 1e-10) << n;
        EXPECT_NEAR(line.covariance, general.covariance_of(0, 1), 1e-10) << n;
        EXPECT_NEAR(line.residual_squares, general.residual_squares, 1e-8) << n;
    }
    const std::vector<double> two{1, 2}, same{3, 3}, unit{1, 0, 0, 1}, bad{1, 2, 2, 1};
    EXPECT_EQ(line_of_correlated(same, two, unit).error(), Flaw::equal_abscissae);
    EXPECT_EQ(line_of_correlated(two, two, bad).error(), Flaw::not_positive);
    EXPECT_EQ(line_of_correlated(two, two, two).error(), Flaw::sizes_differ);
    EXPECT_EQ(line_of_correlated({}, {}, {}).error(), Flaw::too_few_points);
    EXPECT_EQ(line_of_correlated(two, std::vector<double>{NAN, 1}, unit).error(), Flaw::not_finite);
}

TEST(StraightLine, ShiftingScalingAndPermutingChangeItAsAlgebraSays) {
    const Data d = random_data(5);
    const auto line = *line_of_equal(d.x, d.y);
    Data moved = d;
    for (double& x : moved.x) x = 10.0 + 4.0 * x;
    for (double& y : moved.y) y = -7.0 + 0.5 * y;
    std::swap(moved.x[0], moved.x[3]);
    std::swap(moved.y[0], moved.y[3]);
    const auto other = *line_of_equal(moved.x, moved.y);
    EXPECT_NEAR(other.slope, line.slope * 0.5 / 4.0, 1e-12);
    EXPECT_NEAR(other.intercept, -7.0 + 0.5 * line.intercept - other.slope * 10.0, 1e-12);
    EXPECT_NEAR(other.slope_variance, line.slope_variance / 64.0, 1e-12);
    EXPECT_NEAR(other.variance_at(10.0 + 4.0 * 1.5), 0.25 * line.variance_at(1.5), 1e-12);
    EXPECT_NEAR(*other.r_squared(), *line.r_squared(), 1e-12);
}

TEST(StraightLine, PredictionsHoldTheirShareOfNewReadings) {
    std::mt19937_64 engine(6);
    std::normal_distribution<double> normal;
    int held = 0;
    constexpr int trials = 20000;
    for (int t = 0; t < trials; ++t) {
        std::vector<double> x, y;
        for (int i = 0; i < 6; ++i) {
            x.push_back(i);
            y.push_back(1.0 + 2.0 * i + normal(engine));
        }
        const auto line = *line_of_equal(x, y);
        const double reading = 1.0 + 2.0 * 7.0 + normal(engine);
        const double width = *prediction_half_width(line, 7.0, 1.0, 0.95);
        held += std::abs(reading - line.at(7.0)) <= width ? 1 : 0;
    }
    EXPECT_NEAR(static_cast<double>(held) / trials, 0.95, 0.007);
}

TEST(StraightLine, InversePredictionHoldsTheTruth) {
    std::mt19937_64 engine(7);
    std::normal_distribution<double> normal;
    int held = 0;
    constexpr int trials = 20000;
    for (int t = 0; t < trials; ++t) {
        std::vector<double> x, y;
        for (int i = 0; i < 6; ++i) {
            x.push_back(i);
            y.push_back(1.0 + 2.0 * i + normal(engine));
        }
        const auto inverse =
            *inverse_prediction(*line_of_equal(x, y), 1.0 + 2.0 * 3.3 + normal(engine), 1.0, 0.95);
        held += inverse.low <= 3.3 && 3.3 <= inverse.high ? 1 : 0;
    }
    EXPECT_NEAR(static_cast<double>(held) / trials, 0.95, 0.007);
}

TEST(StraightLine, AFlatLineHasNoInverse) {
    const std::vector<double> x{0, 1, 2, 3}, y{1.0, -1.0, 1.0, -1.0};
    const auto line = *line_of_equal(x, y);
    EXPECT_EQ(inverse_prediction(line, 0.5, 1.0, 0.95).error(), Flaw::empty_interval);
}

TEST(LackOfFit, IsUniformForAStraightLineAndSmallForABentOne) {
    std::mt19937_64 engine(8);
    std::normal_distribution<double> normal;
    int below = 0;
    constexpr int trials = 4000;
    for (int t = 0; t < trials; ++t) {
        std::vector<double> x, y;
        for (int i = 0; i < 12; ++i) {
            x.push_back(i % 4);
            y.push_back(x.back() + normal(engine));
        }
        below += lack_of_fit(x, y)->significance < 0.05 ? 1 : 0;
    }
    EXPECT_NEAR(static_cast<double>(below) / trials, 0.05, 0.015);
    std::vector<double> x, y;
    for (int i = 0; i < 12; ++i) {
        x.push_back(i % 4);
        y.push_back(x.back() * x.back() + 0.01 * normal(engine));
    }
    EXPECT_LT(lack_of_fit(x, y)->significance, 1e-6);
}

TEST(York, TendsToTheWeightedLineWithoutErrorsInX) {
    const Data d = random_data(9);
    const std::vector<double> tiny(d.x.size(), 1e-9);
    const auto york = *line_of_york(d.x, tiny, d.y, d.u);
    const auto line = *line_of_weighted(d.x, d.y, d.u);
    EXPECT_NEAR(york.slope, line.slope, 1e-9);
    EXPECT_NEAR(york.slope_variance, line.slope_variance, 1e-9);
}

TEST(York, SwappingTheAxesInvertsTheSlope) {
    const Data d = random_data(10, 20);
    const std::vector<double> ux(d.x.size(), 0.2);
    const auto there = *line_of_york(d.x, ux, d.y, d.u);
    const auto back = *line_of_york(d.y, d.u, d.x, ux);
    EXPECT_NEAR(there.slope * back.slope, 1.0, 1e-9);
    EXPECT_NEAR(there.chi_squared, back.chi_squared, 1e-8);
}

struct BothAxes {
    std::vector<double> x, ux, y, uy, r;
};

// Weighted squares about the best line of this slope, each point with the variance that its errors
// make across the line (York et al. 2004, equation 5).
long double squares_about(const BothAxes& d, long double slope) {
    long double total = 0.0L, mx = 0.0L, my = 0.0L, sum = 0.0L;
    const auto weight = [&](std::size_t i) {
        const long double ux = d.ux[i], uy = d.uy[i];
        return 1.0L / (uy * uy + slope * slope * ux * ux - 2.0L * slope * d.r[i] * ux * uy);
    };
    for (std::size_t i = 0; i < d.x.size(); ++i) {
        total += weight(i);
        mx += weight(i) * d.x[i];
        my += weight(i) * d.y[i];
    }
    for (std::size_t i = 0; i < d.x.size(); ++i) {
        const long double rest = d.y[i] - my / total - slope * (d.x[i] - mx / total);
        sum += weight(i) * rest * rest;
    }
    return sum;
}

BothAxes random_points(std::size_t n, std::uint64_t seed) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> size(0.05, 0.5), correlation(-0.6, 0.6);
    const double far = seed % 3 == 0 ? 1000.0 : 0.0, slope = seed % 2 == 0 ? 3.0 : -0.7;
    const double scatter = 0.3 * std::pow(10.0, static_cast<double>(seed % 5) / 4.0);
    BothAxes d;
    for (std::size_t i = 0; i < n; ++i) {
        const double at = 10.0 * static_cast<double>(i) / static_cast<double>(n - 1);
        d.ux.push_back(size(engine));
        d.uy.push_back(size(engine));
        d.r.push_back(correlation(engine));
        d.x.push_back(far + at + scatter * d.ux.back() * normal(engine));
        d.y.push_back(2.0 + slope * at + scatter * d.uy.back() * normal(engine));
    }
    return d;
}

TEST(York, SettlesOnTheLeastSquaresOfAnyManyPoints) {
    for (const std::size_t n : {5U, 20U, 200U, 2000U}) {
        for (std::uint64_t seed = 1; seed <= 200; ++seed) {
            const BothAxes d = random_points(n, seed + 1000 * n);
            const auto line = line_of_york(d.x, d.ux, d.y, d.uy, d.r);
            ASSERT_TRUE(line) << n << " points, seed " << seed << ": " << text_of(line.error());
            EXPECT_LE(line->iterations, 60) << n << " points, seed " << seed;
            // Squares rise alike on both sides, by the square of the distance in deviations.
            const long double away = 1e-3L * std::sqrt(line->slope_variance);
            const long double above = squares_about(d, line->slope + away);
            const long double below = squares_about(d, line->slope - away);
            const auto off = static_cast<double>((above - below) / 4e-3L);
            EXPECT_LT(std::abs(off), 1e-4) << n << " points, seed " << seed;
            EXPECT_GT(static_cast<double>(above + below - 2.0L * squares_about(d, line->slope)),
                      1e-7);
        }
    }
}

TEST(StraightLine, NamesEveryBadInput) {
    const std::vector<double> two{1, 2}, three{1, 2, 3}, same{5, 5, 5};
    const std::vector<double> nan{1, std::numeric_limits<double>::quiet_NaN(), 3};
    EXPECT_EQ(line_of_equal({}, {}).error(), Flaw::too_few_points);
    EXPECT_EQ(line_of_equal(two, two).error(), Flaw::too_few_points);
    EXPECT_EQ(line_of_equal(three, two).error(), Flaw::sizes_differ);
    EXPECT_EQ(line_of_equal(same, three).error(), Flaw::equal_abscissae);
    EXPECT_EQ(line_of_equal(nan, three).error(), Flaw::not_finite);
    EXPECT_EQ(line_of_weighted(three, three, {}).error(), Flaw::sizes_differ);
    EXPECT_EQ(line_of_weighted(three, three, std::vector<double>{1, 0, 1}).error(),
              Flaw::not_positive);
    EXPECT_EQ(line_of_york(three, three, three, nan).error(), Flaw::not_finite);
    EXPECT_EQ(line_of_york(three, three, three, std::vector<double>{1, -1, 1}).error(),
              Flaw::not_positive);
    const auto line = *line_of_equal(three, std::vector<double>{1, 2, 4});
    EXPECT_EQ(prediction_half_width(line, 1.0, 0.0, 0.95).error(), Flaw::out_of_domain);
    EXPECT_EQ(prediction_half_width(line, 1.0, 1.0, 1.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(inverse_prediction(line, INFINITY, 1.0, 0.95).error(), Flaw::not_finite);
    EXPECT_EQ(lack_of_fit(three, std::vector<double>{1, 2, 4}).error(), Flaw::too_few_points);
}

}  // namespace
}  // namespace padtrim::statistics
