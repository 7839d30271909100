#include "recipes/language/one_step.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

using ::testing::HasSubstr;

struct Documents {
    const char *recipe, *unit, *fixture;
};

PlanPtr plan_of(const Documents& names) {
    const std::string source = PADTRIM_SOURCE_DIR "/";
    auto loaded = load_plan({source + "recipes/examples/" + names.recipe + ".toml",
                             source + "fixtures/units/" + names.unit + ".toml",
                             source + "fixtures/profiles/" + names.fixture + ".toml"});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    return loaded.plan;
}

const Documents hob{"hob-panel-8", "hob-panel-8", "hob-line-4-nests"};

const Step& step_of(const Plan& plan, const std::string& name) {
    for (const Step& step : plan.recipe.steps)
        if (step.name == name) return step;
    throw std::out_of_range(name);
}

// The shipped recipes with fixtures that have what they ask for.
class ShippedStep : public ::testing::TestWithParam<Documents> {};

TEST_P(ShippedStep, IsCutOutWithWhatARunBeginsWith) {
    const PlanPtr whole = plan_of(GetParam());
    std::size_t cut = 0;
    for (const Step& step : whole->recipe.steps) {
        const OneStep one = one_step_of(*whole, step.name);
        if (!why_not_alone(step).empty()) {
            EXPECT_EQ(one.plan, nullptr) << step.name;
            EXPECT_EQ(one.problem, why_not_alone(step));
            continue;
        }
        ASSERT_NE(one.plan, nullptr) << one.problem;
        ++cut;
        const auto& steps = one.plan->recipe.steps;
        EXPECT_TRUE(std::holds_alternative<IdentifyStep>(steps.front().body)) << step.name;
        EXPECT_EQ(steps.size(), std::holds_alternative<IdentifyStep>(step.body) ? 1U : 2U);
        EXPECT_EQ(steps.back().body, step.body);
        EXPECT_EQ(steps.back().exceptions, step.exceptions);
        EXPECT_FALSE(steps.back().only_if);
        for (const Step& each : steps)
            EXPECT_FALSE(std::holds_alternative<WriteTrimsStep>(each.body)) << step.name;
        EXPECT_TRUE(one.plan->fixture == whole->fixture);
        EXPECT_TRUE(one.plan->map == whole->map);
    }
    EXPECT_GT(cut, 2U);
}

// As every stored plan has to, so that its results can be judged again.
TEST_P(ShippedStep, ReadsBackFromItsOwnText) {
    const PlanPtr whole = plan_of(GetParam());
    for (const Step& step : whole->recipe.steps) {
        const OneStep one = one_step_of(*whole, step.name);
        if (!one.plan) continue;
        const auto back = read_plan(plan_text(*one.plan));
        ASSERT_NE(back.plan, nullptr) << document::text_of(back.diagnostics);
        EXPECT_TRUE(back.plan->recipe == one.plan->recipe) << step.name;
        EXPECT_EQ(back.plan->hash, one.plan->hash);
        EXPECT_NE(back.plan->hash, whole->hash);
    }
}

INSTANTIATE_TEST_SUITE_P(
    All, ShippedStep,
    ::testing::Values(
        hob, Documents{"lamp-panel-slider-wheel", "lamp-panel-slider-wheel", "lamp-bench-1-nest"},
        Documents{"door-panel-proximity", "door-panel-proximity", "door-bench-1-nest"},
        Documents{"entry-keypad-mutual", "entry-keypad-mutual", "entry-bench-1-nest"}));

TEST(OneStepOf, RefusesWhatWritesAndWhatOnlyFollowsIt) {
    const PlanPtr whole = plan_of(hob);
    EXPECT_THAT(one_step_of(*whole, "write trims").problem, HasSubstr("writes to the unit"));
    EXPECT_THAT(one_step_of(*whole, "power cycle").problem, HasSubstr("what was written before"));
    EXPECT_THAT(one_step_of(*whole, "verify").problem, HasSubstr("what was written before"));
}

TEST(OneStepOf, RefusesAStepThatShowsNothing) {
    Plan plan = *plan_of(hob);
    plan.recipe.steps.push_back({"rest", OnFailure::stop, WaitStep{}, 0, {}, {}});
    EXPECT_THAT(one_step_of(plan, "rest").problem, HasSubstr("would show nothing"));
}

TEST(OneStepOf, TellsTheNearestNameOfAStepThatIsNotThere) {
    EXPECT_THAT(one_step_of(*plan_of(hob), "gain and ofset").problem, HasSubstr("gain and offset"));
}

TEST(OneStepOf, LeavesTheConditionOutAndKeepsTheRetries) {
    Plan plan = *plan_of(hob);
    for (Step& step : plan.recipe.steps)
        if (step.name == "noise") {
            step.only_if = Condition{"contact check", Was::fail};
            step.retries = 2;
        }
    const OneStep one = one_step_of(plan, "noise");
    ASSERT_NE(one.plan, nullptr) << one.problem;
    EXPECT_FALSE(step_of(*one.plan, "noise").only_if);
    EXPECT_EQ(step_of(*one.plan, "noise").retries, 2U);
}

TEST(OneStepOf, IsNamedSoThatNobodyTakesItForTheWhole) {
    const PlanPtr whole = plan_of(hob);
    const auto one = one_step_of(*whole, "noise").plan;
    EXPECT_EQ(one->recipe.name, whole->recipe.name + ", noise alone");
    EXPECT_EQ(one->recipe.revision, whole->recipe.revision);
}

}  // namespace
}  // namespace padtrim::language
