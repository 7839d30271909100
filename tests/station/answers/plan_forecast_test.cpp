#include "station/answers/plan_forecast.hpp"

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::answers {
namespace {

language::Plan hob_plan(const std::string& fixture) {
    const std::string root = PADTRIM_SOURCE_DIR "/";
    const auto loaded = language::load_plan({root + "recipes/examples/hob-panel-8.toml",
                                             root + "fixtures/units/hob-panel-8.toml",
                                             root + "fixtures/profiles/" + fixture + ".toml"});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    return *loaded.plan;
}

TEST(PlanForecast, SharesMakeOneAndStepsFollowEachOther) {
    const auto plan = forecast(hob_plan("hob-bench-1-nest"));
    double share = 0.0;
    engine::Span at{0.0};
    for (const auto& step : plan.steps) {
        EXPECT_NEAR(step.begins.count(), at.count(), 1e-6) << step.step;
        EXPECT_LE(step.time.floor, step.time.expected) << step.step;
        at += step.time.expected;
        share += step.share;
    }
    EXPECT_NEAR(share, 1.0, 1e-9);
    EXPECT_NEAR(at.count(), plan.whole.expected.count(), 1e-6);
    EXPECT_EQ(plan.steps.front().step, "start");
    EXPECT_EQ(plan.steps.size(), 9U);
}

TEST(PlanForecast, MoreNestsMakeMoreUnitsUntilTheFingerLimitsThem) {
    auto narrow = hob_plan("hob-bench-1-nest");
    const auto one = forecast(narrow);
    EXPECT_FALSE(one.finger_limits);
    EXPECT_NEAR(one.units_per_hour, 3.6e6 / one.whole.expected.count(), 1e-6);
    const auto four = forecast(hob_plan("hob-line-4-nests"));
    EXPECT_TRUE(four.finger_limits);
    EXPECT_LT(four.units_per_hour, 4 * one.units_per_hour);
    EXPECT_GT(four.units_per_hour, one.units_per_hour);
}

TEST(PlanForecast, TellsConditionsAndRetries) {
    auto plan = hob_plan("hob-bench-1-nest");
    plan.recipe.steps[4].only_if = language::Condition{"noise", language::Was::not_pass};
    plan.recipe.steps[3].retries = 2;
    const auto told = forecast(plan);
    EXPECT_EQ(told.steps[5].condition, "only if noise was not pass");
    EXPECT_EQ(told.steps[4].retries, 2U);
    const auto json = to_json(told);
    EXPECT_EQ(json.at("steps").at(5).at("only_if").as_string(), "only if noise was not pass");
    EXPECT_GT(json.at("spent_ms").at("scanning").as_double(), 0.0);
}

}  // namespace
}  // namespace padtrim::answers
