// Steps of shipped recipes, each run alone on the virtual bench in virtual time.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "recipes/language/one_step.hpp"
#include "tests/station/engine/bench_rig.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::engine::testing {
namespace {

using ::testing::Each;
using ::testing::IsEmpty;
using ::testing::Not;

language::PlanPtr plan_from(const std::string& recipe, const std::string& unit,
                            const std::string& fixture) {
    const std::string source = PADTRIM_SOURCE_DIR "/";
    auto loaded = language::load_plan({source + "recipes/examples/" + recipe + ".toml",
                                       source + "fixtures/units/" + unit + ".toml",
                                       source + "fixtures/profiles/" + fixture + ".toml"});
    return loaded.plan;
}

bench::BenchOptions one_good_unit() {
    bench::BenchOptions options;
    options.seed = 7;
    options.units = 1;
    return options;
}

struct Alone {
    const char *recipe, *unit, *fixture;
};
class StepAlone : public ::testing::TestWithParam<Alone> {};

TEST_P(StepAlone, GivesResultsOfItsOwnAndWritesNothing) {
    const auto [recipe, unit, fixture] = GetParam();
    const auto whole = plan_from(recipe, unit, fixture);
    ASSERT_NE(whole, nullptr);
    for (const language::Step& step : whole->recipe.steps) {
        // A person answers a question; what needs one is another test's.
        if (std::holds_alternative<language::AskStep>(step.body) ||
            std::holds_alternative<language::WetPanelStep>(step.body))
            continue;
        const auto one = language::one_step_of(*whole, step.name);
        if (!one.plan) continue;
        BenchRig rig(one.plan, one_good_unit());
        rig.options.measure_only = true;
        rig.options.units = 1;
        const LotOutcome outcome = rig.run();
        ASSERT_FALSE(outcome.station_fault) << step.name << ": " << outcome.reason;
        ASSERT_EQ(rig.journal.runs.size(), 1U) << step.name;
        const auto& run = rig.journal.runs.front();
        ASSERT_TRUE(run.unit) << step.name;
        EXPECT_NE(run.unit->result.verdict, record::Verdict::no_verdict)
            << step.name << ": " << run.unit->result.reason;
        bool of_this_step = false;
        for (const auto& check : run.unit->result.checks) {
            of_this_step |= check.step == step.name;
            EXPECT_TRUE(check.step == step.name || check.step == whole->recipe.steps[0].name)
                << step.name << " yields checks of " << check.step;
        }
        EXPECT_TRUE(of_this_step) << step.name << " yields no check";
        EXPECT_FALSE(run.intent) << step.name;
    }
}

INSTANTIATE_TEST_SUITE_P(Shipped, StepAlone,
                         ::testing::Values(Alone{"hob-panel-8", "hob-panel-8", "hob-line-4-nests"},
                                           Alone{"lamp-panel-slider-wheel",
                                                 "lamp-panel-slider-wheel", "lamp-bench-1-nest"},
                                           Alone{"entry-keypad-mutual", "entry-keypad-mutual",
                                                 "entry-bench-1-nest"}));

TEST(LotInOneNest, LeavesTheOtherNestsAsTheyAre) {
    bench::BenchOptions options = one_good_unit();
    options.units = 8;
    BenchRig rig(test_support::demo_plan({.nests = 3}), options);
    rig.options.only_nest = 2;
    rig.options.units = 2;
    rig.options.measure_only = true;
    rig.run();
    std::vector<std::uint16_t> nests;
    for (const auto& run : rig.journal.runs) nests.push_back(run.start.nest);
    EXPECT_THAT(nests, Not(IsEmpty()));
    EXPECT_THAT(nests, Each(2));
}

}  // namespace
}  // namespace padtrim::engine::testing
