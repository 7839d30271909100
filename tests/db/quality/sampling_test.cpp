// Switching rules: ISO 2859-1, 9.3, from memory.
#include "db/quality/sampling.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::acceptance;
using statistics::acceptance_of_lot;
using statistics::AttributesPlan;
using statistics::Flaw;
using statistics::outgoing_share;
using statistics::plan_for;
using statistics::share_accepted;

LotResult passed_lot(std::uint64_t acceptance_number = 1) {
    LotResult lot;
    lot.accepted = lot.accepted_one_step_tighter = true;
    lot.acceptance_number = acceptance_number;
    return lot;
}

void feed(Switching& rules, const LotResult& lot, int times) {
    for (int i = 0; i < times; ++i) rules.after(lot);
}

TEST(Switching, TightensAfterTwoOfFiveRefused) {
    Switching rules;
    EXPECT_EQ(rules.after({}), Severity::normal);
    feed(rules, passed_lot(), 3);
    EXPECT_EQ(rules.after({}), Severity::tightened);
    Switching slow;
    slow.after({});
    feed(slow, passed_lot(), 4);
    EXPECT_EQ(slow.after({}), Severity::normal);
}

TEST(Switching, RelaxesAfterFiveAcceptedInARow) {
    Switching rules;
    feed(rules, {}, 2);
    feed(rules, passed_lot(), 4);
    rules.after({});
    feed(rules, passed_lot(), 4);
    EXPECT_EQ(rules.severity(), Severity::tightened);
    EXPECT_EQ(rules.after(passed_lot()), Severity::normal);
}

TEST(Switching, StopsAfterFiveRefusedWhileTightenedAndResumesTightened) {
    Switching rules;
    feed(rules, {}, 2);
    for (int i = 0; i < 4; ++i) {
        rules.after({});
        rules.after(passed_lot());
    }
    EXPECT_EQ(rules.severity(), Severity::tightened);
    EXPECT_EQ(rules.after({}), Severity::stopped);
    feed(rules, passed_lot(), 20);
    EXPECT_EQ(rules.severity(), Severity::stopped);
    rules.resume();
    EXPECT_EQ(rules.severity(), Severity::tightened);
    Switching normal;
    normal.resume();
    EXPECT_EQ(normal, Switching{});
}

TEST(Switching, ReducesAtAScoreOfThirty) {
    Switching small, large;
    feed(small, passed_lot(1), 14);
    feed(large, passed_lot(2), 9);
    EXPECT_EQ(small.severity(), Severity::normal);
    EXPECT_EQ(large.severity(), Severity::normal);
    EXPECT_EQ(small.after(passed_lot(1)), Severity::reduced);
    EXPECT_EQ(large.after(passed_lot(2)), Severity::reduced);
}

TEST(Switching, LosesItsScoreWithALotThatATighterPlanWouldRefuse) {
    Switching rules;
    feed(rules, passed_lot(3), 9);
    LotResult close = passed_lot(3);
    close.accepted_one_step_tighter = false;
    rules.after(close);
    EXPECT_EQ(rules.score(), 0U);
    EXPECT_EQ(rules.severity(), Severity::normal);
}

TEST(Switching, ReducesOnlyWhileProductionIsSteadyAndGoesBackAtOnce) {
    LotResult unsteady = passed_lot(2);
    unsteady.steady = false;
    Switching rules;
    feed(rules, unsteady, 12);
    EXPECT_EQ(rules.severity(), Severity::normal);
    EXPECT_EQ(rules.after(passed_lot(2)), Severity::reduced);
    EXPECT_EQ(rules.after(unsteady), Severity::normal);
    feed(rules, passed_lot(2), 10);
    EXPECT_EQ(rules.after({}), Severity::normal);
}

// From the definition, by hand: n = 3, c = 1, p = 0.1: 0.729 + 0.243; 2 of 5 drawn twice without
// return, none bad: 3/5 2/4.
TEST(Acceptance, CountsSmallPlansByHand) {
    EXPECT_NEAR(*acceptance(AttributesPlan{3, 1}, 0.1), 0.972, 1e-14);
    EXPECT_NEAR(*acceptance_of_lot({2, 0}, 2, 5), 0.3, 1e-12);
    EXPECT_NEAR(*acceptance_of_lot({4, 1}, 0, 9), 1.0, 1e-12);
    EXPECT_NEAR(*acceptance_of_lot({4, 1}, 9, 9), 0.0, 1e-12);
    EXPECT_EQ(*acceptance(AttributesPlan{3, 1}, 0.0), 1.0);
    EXPECT_EQ(*acceptance(AttributesPlan{3, 1}, 1.0), 0.0);
}

TEST(Acceptance, TendsToTheLongSeriesForLargeLots) {
    EXPECT_NEAR(*acceptance_of_lot({80, 2}, 20'000, 1'000'000),
                *acceptance(AttributesPlan{80, 2}, 0.02), 1e-4);
}

TEST(Acceptance, ReadsBackwardsWhatItReadForwards) {
    for (const double share : {0.001, 0.02, 0.3})
        EXPECT_NEAR(*share_accepted({50, 2}, *acceptance(AttributesPlan{50, 2}, share)), share,
                    1e-12);
}

TEST(PlanForRisks, KeepsBothAndIsTheSmallest) {
    const statistics::RiskPoints risks{0.01, 0.05, 0.06, 0.10};
    const auto plan = *plan_for(risks);
    EXPECT_GE(*acceptance(plan, 0.01), 0.95);
    EXPECT_LE(*acceptance(plan, 0.06), 0.10);
    const AttributesPlan smaller{plan.sample - 1, plan.accept};
    EXPECT_GT(*acceptance(smaller, 0.06), 0.10);
}

// Simulation, seeded: 20 000 lots with 3 % beyond the limit; 3 sigma of counting is 1.1 %.
TEST(VariablesPlan, AcceptsAsOftenAsItsCharacteristicSays) {
    std::mt19937_64 source(91);
    std::normal_distribution<double> normal;
    const double limit = 1.880793608151251;  // z(0.97)
    int accepted = 0;
    for (int i = 0; i < 20'000; ++i) {
        std::vector<double> values(10);
        for (double& value : values) value = normal(source);
        accepted += judge_by_variables(values, {std::nullopt, limit, 1.7})->accepted ? 1 : 0;
    }
    EXPECT_NEAR(accepted / 20'000.0, *acceptance(statistics::VariablesPlan{10, 1.7}, 0.03), 0.011);
}

TEST(VariablesPlan, JudgesBothLimits) {
    const std::vector<double> values{9, 10, 11, 10, 10};
    EXPECT_TRUE(judge_by_variables(values, {{7.0}, {13.0}, 3.0})->accepted);
    EXPECT_FALSE(judge_by_variables(values, {{9.0}, {13.0}, 3.0})->accepted);
    EXPECT_FALSE(judge_by_variables(values, {{7.0}, {11.0}, 3.0})->accepted);
}

TEST(SamplingPlans, NameEveryFlaw) {
    EXPECT_EQ(acceptance(AttributesPlan{0, 0}, 0.1).error(), Flaw::too_few_points);
    EXPECT_EQ(acceptance(AttributesPlan{3, 3}, 0.1).error(), Flaw::out_of_domain);
    EXPECT_EQ(acceptance(AttributesPlan{3, 1}, NAN).error(), Flaw::not_finite);
    EXPECT_EQ(acceptance(AttributesPlan{3, 1}, 1.1).error(), Flaw::out_of_domain);
    EXPECT_EQ(acceptance_of_lot({6, 1}, 1, 5).error(), Flaw::out_of_domain);
    EXPECT_EQ(outgoing_share({6, 1}, 0.1, 5).error(), Flaw::out_of_domain);
    EXPECT_EQ(share_accepted({6, 1}, NAN).error(), Flaw::out_of_domain);
    EXPECT_EQ(acceptance(statistics::VariablesPlan{1, 1.0}, 0.1).error(), Flaw::too_few_points);
    EXPECT_EQ(acceptance(statistics::VariablesPlan{5, NAN}, 0.1).error(), Flaw::not_finite);
    EXPECT_EQ(acceptance(statistics::VariablesPlan{5, 1.0}, 0.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(plan_for({0.05, 0.05, 0.01, 0.1}).error(), Flaw::empty_interval);
    EXPECT_EQ(plan_for({NAN, 0.05, 0.01, 0.1}).error(), Flaw::out_of_domain);
    const std::vector<double> good{1, 2, 3};
    EXPECT_EQ(judge_by_variables(good, {}).error(), Flaw::out_of_domain);
    EXPECT_EQ(judge_by_variables(good, {2.0, 1.0, 1.0}).error(), Flaw::empty_interval);
    EXPECT_EQ(judge_by_variables({good.data(), 2}, {0.0, 9.0, 1.0}).error(), Flaw::too_few_points);
    EXPECT_EQ(judge_by_variables(good, {0.0, 9.0, NAN}).error(), Flaw::not_finite);
    EXPECT_EQ(judge_by_variables(std::vector<double>{1, NAN, 2}, {0.0, 9.0, 1.0}).error(),
              Flaw::not_finite);
    EXPECT_EQ(judge_by_variables(std::vector<double>(5, 1.0), {0.0, 9.0, 1.0}).error(),
              Flaw::not_positive);
}

}  // namespace
}  // namespace padtrim::quality
