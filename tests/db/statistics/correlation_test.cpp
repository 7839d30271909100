#include "db/statistics/correlation.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

// First-order autoregression started from its own distribution.
std::vector<double> filtered(std::mt19937_64& engine, std::size_t n, double r) {
    std::normal_distribution<double> normal;
    std::vector<double> x(n);
    double last = normal(engine);
    for (double& value : x) {
        last = r * last + std::sqrt(1.0 - r * r) * normal(engine);
        value = last;
    }
    return x;
}

TEST(MeanInflation, EqualsTheSumItStandsFor) {
    for (const double r : {-0.4, 0.0, 0.3, 0.9}) {
        for (const std::size_t n : {1U, 2U, 5U, 16U}) {
            double sum = 1.0;
            for (std::size_t k = 1; k < n; ++k) {
                const double lag = static_cast<double>(k);
                sum += 2.0 * (1.0 - lag / static_cast<double>(n)) * std::pow(r, lag);
            }
            EXPECT_NEAR(mean_inflation(n, r), sum, 1e-12) << r << " " << n;
        }
    }
}

TEST(MeanInflation, IsWhatMeansOfFilteredReadingsShow) {
    std::mt19937_64 engine(1);
    double squares = 0.0;
    constexpr int trials = 20000;
    for (int i = 0; i < trials; ++i) {
        const double mean = stretch_of(filtered(engine, 16, 0.6)).mean;
        squares += mean * mean;
    }
    // Five standard deviations of a variance estimated from so many means.
    EXPECT_NEAR(16.0 * squares / trials / mean_inflation(16, 0.6), 1.0,
                5.0 * std::sqrt(2.0 / trials));
}

TEST(CommonCorrelation, IsNotBiasedByShortStretches) {
    std::mt19937_64 engine(2);
    for (const double r : {0.0, 0.5, 0.8}) {
        std::vector<Stretch> stretches;
        for (int i = 0; i < 5000; ++i) stretches.push_back(stretch_of(filtered(engine, 8, r)));
        EXPECT_NEAR(common_correlation(stretches), r, 0.02);
        EXPECT_NEAR(pooled_variance(stretches, r)->variance, 1.0, 0.03);
    }
}

TEST(CommonCorrelation, PooledSumsGiveTheSame) {
    std::mt19937_64 engine(3);
    const std::vector<Stretch> one{stretch_of(filtered(engine, 64, 0.5))};
    EXPECT_NEAR(common_correlation(one), correlation_from(one[0].lagged, one[0].squares, 64), 1e-9);
}

TEST(Correlation, NamesWhatIsMissing) {
    EXPECT_EQ(lag_one({}).error(), Flaw::too_few_points);
    EXPECT_EQ(lag_one(stretch_of(std::vector<double>(5, 3.0))).error(), Flaw::not_positive);
    EXPECT_EQ(pooled_variance({}, 0.0).error(), Flaw::too_few_points);
    EXPECT_EQ(common_correlation({}), 0.0);
}

}  // namespace
}  // namespace padtrim::statistics
