#include "station/metrology/sequential_limit.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Random;
using statistics::BoundaryShape;
using statistics::Flaw;

constexpr double infinity = std::numeric_limits<double>::infinity();

struct Ended {
    double inside = 0.0, outside = 0.0, readings = 0.0;
};

// Means of filtered readings around a true value, looked at as the plan says.
Ended simulate(const SequentialPlan& plan, const SequentialLimit& rule, double truth,
               double deviation, double r, int trials) {
    Random random(11);
    Ended ended;
    for (int t = 0; t < trials; ++t) {
        double sum = 0.0, state = random.normal();
        LimitDecision decision = LimitDecision::undetermined;
        std::size_t n = 0;
        while (n < plan.most_readings() && decision == LimitDecision::undetermined) {
            state = r * state + std::sqrt(1.0 - r * r) * random.normal();
            sum += truth + deviation * state;
            ++n;
            decision = rule.after(n, sum / static_cast<double>(n));
        }
        ended.inside += decision == LimitDecision::inside ? 1.0 / trials : 0.0;
        ended.outside += decision == LimitDecision::outside ? 1.0 / trials : 0.0;
        ended.readings += static_cast<double>(n) / trials;
    }
    return ended;
}

TEST(SequentialLimit, KeepsItsRiskOnTheLimitForWhiteAndFilteredReadings) {
    for (const auto shape : {BoundaryShape::pocock, BoundaryShape::obrien_fleming}) {
        for (const double r : {0.0, 0.6}) {
            const SequentialPlan plan{shape, 5, 16, 0.025};
            const auto rule = *SequentialLimit::of(plan, {{}, 10.0}, 2.0, r);
            const Ended ended = simulate(plan, rule, 10.0, 2.0, r, 20000);
            // Three standard deviations of a counted 2.5 %.
            EXPECT_LE(ended.inside, 0.025 + 0.0034) << r;
            EXPECT_LE(ended.outside, 0.025 + 0.0034) << r;
            EXPECT_GE(ended.inside, 0.018) << r;
        }
    }
}

TEST(SequentialLimit, TakesHalfThePlansReadingsHalfAToleranceInside) {
    // A plan made for the limit: its last look tells half a tolerance (here 2 of +-4) from the
    // limit with a risk of 2.5 % and a power above 99 %.
    const SequentialPlan plan{BoundaryShape::pocock, 5, 16, 0.025};
    const Limits limits{-4.0, 4.0};
    const double deviation = 2.0 * std::sqrt(80.0) / 5.0;
    const auto rule = *SequentialLimit::of(plan, limits, deviation);
    const Ended at_half = simulate(plan, rule, 2.0, deviation, 0.0, 5000);
    const Ended centred = simulate(plan, rule, 0.0, deviation, 0.0, 5000);
    EXPECT_LE(at_half.readings, 0.5 * static_cast<double>(plan.most_readings()));
    EXPECT_LE(centred.readings, at_half.readings);
    EXPECT_GE(at_half.inside, 0.98);
    EXPECT_NEAR(*rule.expected_readings(2.0), at_half.readings, 1.5);
}

TEST(SequentialLimit, LeavesUndeterminedWhatTheReadingsDoNotDecide) {
    const SequentialPlan plan{BoundaryShape::pocock, 4, 8, 0.025};
    const auto rule = *SequentialLimit::of(plan, {0.0, 10.0}, 1.0);
    EXPECT_EQ(rule.after(0, 5.0), LimitDecision::undetermined);
    EXPECT_EQ(rule.after(7, 5.0), LimitDecision::undetermined);
    EXPECT_EQ(rule.after(8, 5.0), LimitDecision::inside);
    EXPECT_EQ(rule.after(8, 12.0), LimitDecision::outside);
    EXPECT_EQ(rule.after(32, 10.1), LimitDecision::undetermined);
}

TEST(SequentialLimit, NamesEveryBadDesign) {
    const SequentialPlan plan;
    EXPECT_EQ(SequentialLimit::of(plan, {}, 1.0).error(), Flaw::empty_interval);
    EXPECT_EQ(SequentialLimit::of(plan, {1.0, 1.0}, 1.0).error(), Flaw::empty_interval);
    EXPECT_EQ(SequentialLimit::of(plan, {0.0, 1.0}, 0.0).error(), Flaw::not_positive);
    EXPECT_EQ(SequentialLimit::of(plan, {0.0, 1.0}, infinity).error(), Flaw::not_finite);
    EXPECT_EQ(SequentialLimit::of(plan, {0.0, 1.0}, 1.0, 1.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(SequentialLimit::of({plan.shape, 0, 1, 0.1}, {0.0, 1.0}, 1.0).error(),
              Flaw::too_few_points);
    EXPECT_EQ(SequentialLimit::of({plan.shape, 2, 1, 0.6}, {0.0, 1.0}, 1.0).error(),
              Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::metrology
