#include "db/statistics/least_squares.hpp"

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::statistics {
namespace {

struct Problem {
    std::vector<double> design, y, deviations, covariance;
};

Problem random_problem(std::uint64_t seed, std::size_t n = 9) {
    std::mt19937_64 engine(seed);
    std::normal_distribution<double> normal;
    Problem p;
    p.covariance.assign(n * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        p.design.insert(p.design.end(), {1.0, normal(engine), normal(engine)});
        p.y.push_back(normal(engine));
        p.deviations.push_back(0.5 + std::abs(normal(engine)));
        p.covariance[i * n + i] = p.deviations[i] * p.deviations[i];
    }
    return p;
}

TEST(LeastSquares, GeneralisedWithADiagonalIsWeighted) {
    for (std::uint64_t seed = 1; seed < 50; ++seed) {
        Problem p = random_problem(seed);
        const auto weighted = *fit_weighted(p.design, 3, p.y, p.deviations);
        // One tiny off-diagonal pair takes the general path.
        for (const double off : {0.0, 1e-14}) {
            p.covariance[1] = p.covariance[9] = off;
            const auto general = *fit_generalised(p.design, 3, p.y, p.covariance);
            for (std::size_t i = 0; i < 3; ++i) {
                EXPECT_NEAR(general.estimate[i], weighted.estimate[i], 1e-10);
                for (std::size_t k = 0; k < 3; ++k) {
                    EXPECT_NEAR(general.covariance_of(i, k), weighted.covariance_of(i, k), 1e-10);
                }
            }
            EXPECT_NEAR(general.residual_squares, weighted.residual_squares, 1e-9);
        }
    }
}

TEST(LeastSquares, TheMapGivesEstimateAndCovariance) {
    Problem p = random_problem(7);
    for (std::size_t i = 0; i < 9; ++i) {
        for (std::size_t k = 0; k < 9; ++k) p.covariance[i * 9 + k] += i % 2 == k % 2 ? 0.7 : 0.0;
    }
    const auto fit = *fit_generalised(p.design, 3, p.y, p.covariance);
    for (std::size_t a = 0; a < 3; ++a) {
        double estimate = 0.0, variance = 0.0;
        for (std::size_t i = 0; i < 9; ++i) {
            estimate += fit.map[a * 9 + i] * p.y[i];
            for (std::size_t k = 0; k < 9; ++k) {
                variance += fit.map[a * 9 + i] * p.covariance[i * 9 + k] * fit.map[a * 9 + k];
            }
        }
        EXPECT_NEAR(estimate, fit.estimate[a], 1e-10);
        EXPECT_NEAR(variance, fit.variance(a), 1e-10);
    }
}

TEST(LeastSquares, WhatIsCommonToAllColumnsDoesNotMoveTheEstimate) {
    const Problem p = random_problem(8);
    auto common = p.covariance;
    for (std::size_t i = 0; i < 9; ++i) {
        for (std::size_t k = 0; k < 9; ++k) {
            common[i * 9 + k] += 4.0 * p.design[i * 3 + 1] * p.design[k * 3 + 1];
        }
    }
    const auto without = *fit_generalised(p.design, 3, p.y, p.covariance);
    const auto with = *fit_generalised(p.design, 3, p.y, common);
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(with.estimate[i], without.estimate[i], 1e-9);
    EXPECT_NEAR(with.variance(1), without.variance(1) + 4.0, 1e-9);
}

TEST(LeastSquares, TheOrderOfPointsDoesNotMatter) {
    const Problem p = random_problem(9);
    Problem turned;
    for (std::size_t i = 9; i-- > 0;) {
        for (std::size_t k = 0; k < 3; ++k) turned.design.push_back(p.design[i * 3 + k]);
        turned.y.push_back(p.y[i]);
    }
    const auto a = *fit_equal(p.design, 3, p.y), b = *fit_equal(turned.design, 3, turned.y);
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(a.estimate[i], b.estimate[i], 1e-12);
}

TEST(LeastSquares, LargeFitsTakeTheSameWay) {
    const Problem p = random_problem(10, 40);
    const auto general = *fit_generalised(p.design, 3, p.y, p.covariance);
    const auto weighted = *fit_weighted(p.design, 3, p.y, p.deviations);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_NEAR(general.estimate[i], weighted.estimate[i], 1e-11);
    }
}

TEST(LeastSquares, NamesEveryBadInput) {
    const Problem p = random_problem(11);
    auto design = p.design;
    for (std::size_t i = 0; i < 9; ++i) design[i * 3 + 2] = 2.0 * design[i * 3 + 1];
    EXPECT_EQ(fit_equal(design, 3, p.y).error(), Flaw::dependent_columns);
    EXPECT_EQ(fit_generalised(design, 3, p.y, p.covariance).error(), Flaw::dependent_columns);
    EXPECT_EQ(fit_equal(p.design, 3, {}).error(), Flaw::too_few_points);
    EXPECT_EQ(fit_equal(p.design, 2, p.y).error(), Flaw::sizes_differ);
    auto y = p.y;
    y[4] = std::numeric_limits<double>::infinity();
    EXPECT_EQ(fit_equal(p.design, 3, y).error(), Flaw::not_finite);
    EXPECT_EQ(fit_weighted(p.design, 3, y, p.deviations).error(), Flaw::not_finite);
    EXPECT_EQ(fit_generalised(p.design, 3, y, p.covariance).error(), Flaw::not_finite);
    auto deviations = p.deviations;
    deviations[0] = 0.0;
    EXPECT_EQ(fit_weighted(p.design, 3, p.y, deviations).error(), Flaw::not_positive);
    auto covariance = p.covariance;
    covariance[0] = -1.0;
    EXPECT_EQ(fit_generalised(p.design, 3, p.y, covariance).error(), Flaw::not_positive);
    covariance[1] = covariance[9] = 0.1;
    EXPECT_EQ(fit_generalised(p.design, 3, p.y, covariance).error(), Flaw::not_positive);
    EXPECT_EQ(fit_generalised(p.design, 3, p.y, p.deviations).error(), Flaw::sizes_differ);
}

}  // namespace
}  // namespace padtrim::statistics
