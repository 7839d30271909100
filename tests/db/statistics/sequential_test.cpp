#include "db/statistics/sequential.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {
namespace {

struct Ended {
    double second = 0.0, readings = 0.0;
};

// Runs of Wald's test on white noise around theta.
Ended run(const WaldTest& test, double theta, double deviation, int trials) {
    std::mt19937_64 engine(1);
    std::normal_distribution<double> normal(theta, deviation);
    Ended ended;
    for (int t = 0; t < trials; ++t) {
        double sum = 0.0, n = 0.0;
        SequentialState state = SequentialState::go_on;
        while (state == SequentialState::go_on) {
            sum += normal(engine);
            n += 1.0;
            state = test.after(n, sum / n);
        }
        ended.second += state == SequentialState::second ? 1.0 : 0.0;
        ended.readings += n;
    }
    return {ended.second / trials, ended.readings / trials};
}

// Exact figures of Wald's example, with overshoot: the integral equation of the test solved by
// quadrature (300 nodes); parameters from Wald (1947), from memory.
TEST(WaldTest, KeepsItsRisksAndEndsWhenExpected) {
    const WaldTest test = *WaldTest::of({135.0, 150.0, 25.0, 0.01, 0.03});
    const Ended null = run(test, 135.0, 25.0, 20000), other = run(test, 150.0, 25.0, 20000);
    EXPECT_NEAR(null.second, 0.0071190572, 0.0024);
    EXPECT_NEAR(null.readings, 21.28241570, 0.4);
    EXPECT_NEAR(other.second, 0.9787726612, 0.004);
    EXPECT_NEAR(other.readings, 26.58466992, 0.5);
    EXPECT_LE(null.second, 0.01);
    EXPECT_LE(1.0 - other.second, 0.03);
}

TEST(WaldTest, SwappingTheValuesSwapsTheAnswers) {
    const WaldTest up = *WaldTest::of({0.0, 1.0, 1.0, 0.05, 0.1});
    const WaldTest down = *WaldTest::of({1.0, 0.0, 1.0, 0.1, 0.05});
    for (const double mean : {-1.0, 0.3, 0.5, 0.8, 2.0}) {
        const auto a = up.after(6.0, mean), b = down.after(6.0, mean);
        EXPECT_EQ(a == SequentialState::first, b == SequentialState::second) << mean;
        EXPECT_EQ(a == SequentialState::go_on, b == SequentialState::go_on) << mean;
    }
    EXPECT_NEAR(*up.expected_readings(0.2), *down.expected_readings(0.2), 1e-9);
}

TEST(WaldTest, NamesEveryBadDesign) {
    EXPECT_EQ(WaldTest::of({1.0, 1.0, 1.0, 0.05, 0.05}).error(), Flaw::empty_interval);
    EXPECT_EQ(WaldTest::of({0.0, 1.0, 0.0, 0.05, 0.05}).error(), Flaw::not_positive);
    EXPECT_EQ(WaldTest::of({0.0, 1.0, 1.0, 0.6, 0.5}).error(), Flaw::out_of_domain);
    EXPECT_EQ(WaldTest::of({0.0, INFINITY, 1.0, 0.05, 0.05}).error(), Flaw::not_finite);
}

TEST(GroupBoundaries, OfOneLookAreThoseOfAFixedTest) {
    for (const auto shape : {BoundaryShape::pocock, BoundaryShape::obrien_fleming}) {
        EXPECT_NEAR((*group_boundaries(shape, 1, 0.05))[0], *normal_quantile(0.975), 1e-9);
    }
}

TEST(GroupOutcome, EqualsASimulation) {
    const auto boundaries = *group_boundaries(BoundaryShape::pocock, 4, 0.1);
    std::mt19937_64 engine(3);
    std::normal_distribution<double> normal;
    const double drift = 2.0;
    double above = 0.0, looks = 0.0;
    constexpr int trials = 40000;
    for (int t = 0; t < trials; ++t) {
        double sum = 0.0;
        for (std::size_t k = 1; k <= 4; ++k) {
            sum += drift / 2.0 + normal(engine);
            looks += 1.0;
            const double z = sum / std::sqrt(static_cast<double>(k));
            if (std::abs(z) < boundaries[k - 1]) continue;
            above += z > 0.0 ? 1.0 : 0.0;
            break;
        }
    }
    const GroupOutcome outcome = *group_outcome(boundaries, drift);
    EXPECT_NEAR(above / trials, outcome.above, 0.01);
    EXPECT_NEAR(looks / trials, outcome.expected_looks, 0.03);
}

TEST(GroupBoundaries, NameEveryBadDesign) {
    EXPECT_EQ(group_boundaries(BoundaryShape::pocock, 0, 0.05).error(), Flaw::too_few_points);
    EXPECT_EQ(group_boundaries(BoundaryShape::pocock, 3, 1.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(group_outcome({}, 0.0).error(), Flaw::too_few_points);
    EXPECT_EQ(group_outcome(std::vector<double>{2.0, -1.0}, 0.0).error(), Flaw::not_positive);
}

TEST(WaldTest, FarFromBothValuesItsFiguresStayNumbers) {
    const WaldTest test = *WaldTest::of({0.0, 1.0, 1.0, 0.01, 0.03});
    for (const double theta : {-1e6, -300.0, -30.0, 30.0, 300.0, 1e6}) {
        EXPECT_NEAR(*test.first_probability(theta), theta < 0.0 ? 1.0 : 0.0, 1e-12) << theta;
        EXPECT_TRUE(std::isfinite(*test.expected_readings(theta)));
        EXPECT_GE(*test.expected_readings(theta), 0.0);
    }
    EXPECT_NEAR(*test.first_probability(0.0), 0.99, 1e-12) << "its own risk alpha";
    EXPECT_NEAR(*test.first_probability(1.0), 0.03, 1e-12) << "its own risk beta";
}

// The lines are straight from the definition: the log ratio equals ln A or ln B on them.
TEST(WaldTest, TheLowerLineIsTheLowerWhicheverValueIsLess) {
    for (const auto& [from, to] : {std::pair{0.0, 1.0}, {1.0, 0.0}}) {
        const WaldTest test = *WaldTest::of({from, to, 1.0, 0.01, 0.03});
        EXPECT_LT(test.lower_intercept(), test.upper_intercept());
        const double n = 20.0, below = test.lower_intercept() + n * test.slope();
        EXPECT_NE(test.after(n, (below - 1e-9) / n), SequentialState::go_on);
        EXPECT_EQ(test.after(n, (below + 1e-9) / n), SequentialState::go_on);
    }
}

TEST(GroupOutcome, StaysAProbabilityForVeryWideBoundaries) {
    // All is left to the second look: P(Z > 1.96 - 3) of one normal value.
    const std::vector<double> wide{300.0, 1.96};
    const auto outcome = *group_outcome(wide, 3.0);
    EXPECT_NEAR(outcome.above, normal_probability(3.0 - 1.96), 1e-9);
    EXPECT_NEAR(outcome.below, normal_probability(-3.0 - 1.96), 1e-9);
    EXPECT_NEAR(outcome.expected_looks, 2.0, 1e-12);
    for (const double drift : {-40.0, 0.0, 40.0}) {
        const auto far = *group_outcome(std::vector<double>{5.0, 300.0, 30.0, 4.0}, drift);
        EXPECT_LE(far.above + far.below, 1.0 + 1e-9) << drift;
    }
}

}  // namespace
}  // namespace padtrim::statistics
