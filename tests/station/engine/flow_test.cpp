// Retries and conditions: what is done, what is kept, what counts.
#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/judge.hpp"
#include "tests/station/engine/rig.hpp"

namespace padtrim::engine {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::quick_plan;
using testing::Rig;

language::Step& step_named(language::Plan& plan, const std::string& name) {
    for (language::Step& step : plan.recipe.steps)
        if (step.name == name) return step;
    throw std::logic_error("the plan has no step " + name);
}

// The unit is noisy in steps of this kind until so many attempts were made.
void quiet_from_attempt(Rig& rig, unsigned attempt) {
    rig.on_event = [&rig, attempt](const Event& event) {
        const auto* progress = std::get_if<StepProgress>(&event);
        if (progress == nullptr || rig.station.all.empty()) return;
        const auto failed = std::count_if(
            rig.log.begin(), rig.log.end(),
            [](const std::string& line) { return line.find("did not pass") != line.npos; });
        const bool noisy = progress->step.starts_with("noise") && failed + 1 < attempt;
        rig.station.unit("U1").noise = noisy ? 40.0 : 1.5;
    };
}

std::size_t readings_of(const record::Observations& seen, const std::string& step) {
    return static_cast<std::size_t>(
        std::count_if(seen.readings.begin(), seen.readings.end(),
                      [&](const record::Readings& each) { return each.step == step; }));
}

TEST(Retry, KeepsEveryAttemptAndCountsTheLast) {
    auto plan = quick_plan();
    step_named(plan, "noise").retries = 3;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    quiet_from_attempt(rig, 3);
    EXPECT_EQ(rig.run().count.pass, 1U);
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    const auto& seen = run->unit->observations;
    ASSERT_EQ(seen.attempts.size(), 2U);
    EXPECT_EQ(seen.attempts[0].attempt, 1U);
    EXPECT_EQ(seen.attempts[1].attempt, 2U);
    EXPECT_EQ(readings_of(seen, "noise"), 3U);
    EXPECT_EQ(std::count(seen.steps_done.begin(), seen.steps_done.end(), "noise"), 1);
    EXPECT_THAT(run->unit->result.reason, HasSubstr("noise was done 3 times; the last counts"));
}

TEST(Retry, GivesTheStoredVerdictWhenJudgedAgain) {
    auto plan = quick_plan();
    step_named(plan, "noise").retries = 1;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    quiet_from_attempt(rig, 2);
    rig.run();
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    EXPECT_EQ(metrology::judge(plan, plan.fixture.equipment, run->unit->observations),
              run->unit->result);
}

TEST(Retry, EndsAfterItsNumberAndThenFails) {
    auto plan = quick_plan();
    step_named(plan, "noise").retries = 2;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    quiet_from_attempt(rig, 100);
    EXPECT_EQ(rig.run().count.fail, 1U);
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    EXPECT_EQ(readings_of(run->unit->observations, "noise"), 3U);
    EXPECT_EQ(run->stage(), record::WriteStage::untouched);
}

TEST(Retry, IsNotMadeForAStepThatPasses) {
    auto plan = quick_plan();
    step_named(plan, "noise").retries = 5;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    rig.run();
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    EXPECT_TRUE(run->unit->observations.attempts.empty());
    EXPECT_THAT(run->unit->result.reason, Not(HasSubstr("times")));
}

// A second noise step that is only done when the first ended so.
language::Plan with_second_noise(language::Was was) {
    auto plan = quick_plan();
    auto& steps = plan.recipe.steps;
    const auto first = std::find_if(steps.begin(), steps.end(),
                                    [](const language::Step& s) { return s.name == "noise"; });
    first->on_failure = language::OnFailure::go_on;
    language::Step second = *first;
    second.name = "noise, again";
    second.only_if = language::Condition{"noise", was};
    steps.insert(first + 1, second);
    return plan;
}

TEST(Condition, PassesOverAStepThatDoesNotApply) {
    Rig rig(with_second_noise(language::Was::fail));
    rig.station.fill_magazine(1);
    EXPECT_EQ(rig.run().count.pass, 1U);
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    EXPECT_THAT(run->unit->observations.steps_done, Not(Contains("noise, again")));
    EXPECT_EQ(run->stage(), record::WriteStage::verified);
}

TEST(Condition, DoesTheStepWhenItHolds) {
    for (const auto was : {language::Was::fail, language::Was::not_pass}) {
        Rig rig(with_second_noise(was));
        rig.station.fill_magazine(1);
        quiet_from_attempt(rig, 100);
        EXPECT_EQ(rig.run().count.fail, 1U);
        const auto* run = rig.last_run("U1");
        ASSERT_TRUE(run && run->unit);
        EXPECT_THAT(run->unit->observations.steps_done, Contains("noise, again"));
        EXPECT_EQ(run->stage(), record::WriteStage::untouched);
    }
}

TEST(Condition, OfAStepThatDidNotRunDoesNotHold) {
    auto plan = with_second_noise(language::Was::fail);
    auto& steps = plan.recipe.steps;
    const auto second = std::find_if(steps.begin(), steps.end(), [](const language::Step& s) {
        return s.name == "noise, again";
    });
    language::Step third = *second;
    third.name = "noise, thrice";
    third.only_if = language::Condition{"noise, again", language::Was::not_pass};
    steps.insert(second + 1, third);
    Rig rig(plan);
    rig.station.fill_magazine(1);
    EXPECT_EQ(rig.run().count.pass, 1U);
    EXPECT_THAT(rig.last_run("U1")->unit->observations.steps_done, Not(Contains("noise, thrice")));
}

TEST(Exception, JudgesItsKeysByItsOwnLimit) {
    auto plan = quick_plan();
    step_named(plan, "noise").exceptions = {{{"key 2"}, {}, {{"noise", std::nullopt, 0.01}}}};
    Rig rig(plan);
    rig.station.fill_magazine(1);
    EXPECT_EQ(rig.run().count.fail, 1U);
    const auto* run = rig.last_run("U1");
    ASSERT_TRUE(run && run->unit);
    for (const auto& check : run->unit->result.checks) {
        if (check.check != "noise") continue;
        EXPECT_EQ(check.verdict == record::Verdict::fail, check.channel == 1) << check.channel;
        EXPECT_EQ(check.high, check.channel == 1 ? 0.01 : 5.0);
    }
}

TEST(Exception, OfTheLastThatFitsCounts) {
    auto plan = quick_plan();
    step_named(plan, "noise").exceptions = {{{}, {0, 1}, {{"noise", std::nullopt, 0.01}}},
                                            {{"key 2"}, {}, {{"noise", std::nullopt, 30.0}}}};
    Rig rig(plan);
    rig.station.fill_magazine(1);
    rig.run();
    for (const auto& check : rig.last_run("U1")->unit->result.checks)
        if (check.check == "noise") {
            EXPECT_EQ(check.high, check.channel == 0 ? 0.01 : check.channel == 1 ? 30.0 : 5.0);
        }
}

}  // namespace
}  // namespace padtrim::engine
