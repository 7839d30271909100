#include "station/answers/plan_forecast.hpp"

#include <algorithm>
#include <cmath>

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
    EXPECT_EQ(one.limited_by, "");
    EXPECT_NEAR(one.units_per_hour, 3.6e6 / one.whole.expected.count(), 1e-6);
    const auto four = forecast(hob_plan("hob-line-4-nests"));
    EXPECT_EQ(four.limited_by, "finger");
    EXPECT_LT(four.units_per_hour, 4 * one.units_per_hour);
    EXPECT_GT(four.units_per_hour, one.units_per_hour);
}

TEST(PlanForecast, NestsOnOnePortTalkOneAfterTheOther) {
    auto plan = hob_plan("hob-line-4-nests");
    plan.fixture.finger.reset();
    std::erase_if(plan.recipe.steps, [](const language::Step& step) {
        return std::holds_alternative<language::TouchStep>(step.body);
    });
    const auto apart = forecast(plan);
    EXPECT_EQ(apart.limited_by, "");
    for (auto& nest : plan.fixture.nests) nest.port = plan.fixture.nests[0].port;
    const auto together = forecast(plan);
    EXPECT_EQ(together.limited_by, "port");
    EXPECT_NEAR(together.units_per_hour, 3.6e6 / together.whole.of(engine::Work::talk).count(),
                1e-6);
    EXPECT_LT(together.units_per_hour, apart.units_per_hour);
}

TEST(PlanForecast, CountsTheStepsOfAUnitThatPasses) {
    auto plan = hob_plan("hob-bench-1-nest");
    const auto whole = forecast(plan).whole.expected;
    plan.recipe.steps[4].only_if = language::Condition{"noise", language::Was::fail};
    const auto shorter = forecast(plan);
    EXPECT_FALSE(shorter.steps[5].counted);
    EXPECT_NEAR((whole - shorter.whole.expected).count(), shorter.steps[5].time.expected.count(),
                1e-6);
    plan.recipe.steps[4].only_if->was = language::Was::pass;
    EXPECT_NEAR(forecast(plan).whole.expected.count(), whole.count(), 1e-6);
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
    EXPECT_GT(json.at("spent_ms").at("scanning").to_number<double>(), 0.0);
}

// A first-order branch misses 0.1 % after ln 1000 = 6.908 time constants (textbook form).
TEST(PlanForecast, TellsWhatChargesThroughTheSeriesResistor) {
    auto plan = hob_plan("hob-line-4-nests");
    plan.map.frequencies = {Kilohertz(250.0), Kilohertz(400.0)};
    plan.fixture.series_resistor = Ohm(10000.0);
    double load = 0.0;  // pF
    for (const auto& step : plan.fixture.equipment.steps) {
        const auto* own = plan.fixture.equipment.fixture_part(step.nest, step.channel);
        load = std::max(load, step.value.value() + own->value.value());
    }
    const auto told = forecast(plan);
    ASSERT_EQ(told.charging.size(), 2U);
    const auto& slow = told.charging[0];
    EXPECT_EQ(slow.load.value(), load);
    const double half_period = 2e-6, tau = 1e4 * load * 1e-12;  // s
    EXPECT_NEAR(slow.settling.missing, std::exp(-half_period / tau), 1e-12);
    EXPECT_NEAR(slow.settling.largest_load.value(), half_period / 6.907755 / 1e4 * 1e12, 1e-3);
    EXPECT_NEAR(slow.settling.highest_frequency.value(), 0.5 / (6.907755 * tau) * 1e-3, 1e-2);
    EXPECT_LT(told.charging[1].settling.largest_load.value(), slow.settling.largest_load.value());
    EXPECT_EQ(to_json(told).at("charging").at(1).at("drive_kHz").to_number<double>(), 400.0);
}

}  // namespace
}  // namespace padtrim::answers
