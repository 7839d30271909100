// Every shipped recipe runs green on the virtual bench, and shows a fault that is its own concern.
#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "station/engine/duration.hpp"
#include "tests/station/engine/step_rig.hpp"

namespace padtrim::engine {
namespace {

using testing::BenchRig;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

language::PlanPtr shipped(const std::string& recipe, const std::string& fixture) {
    const std::string root = PADTRIM_SOURCE_DIR "/";
    auto loaded = language::load_plan({root + "recipes/examples/" + recipe + ".toml",
                                       root + "fixtures/units/" + recipe + ".toml",
                                       root + "fixtures/profiles/" + fixture + ".toml"});
    if (!loaded.plan) throw std::runtime_error(document::text_of(loaded.diagnostics));
    return loaded.plan;
}

struct Shipped {
    const char *recipe, *fixture;
    bench::DefectKind defect;
    std::uint16_t where;
    const char* reason;
};
void PrintTo(const Shipped& one, std::ostream* out) {
    *out << one.recipe;
}

class ShippedRecipe : public ::testing::TestWithParam<Shipped> {};

TEST_P(ShippedRecipe, PassesGoodUnits) {
    bench::BenchOptions options;
    options.units = 3;
    BenchRig rig(shipped(GetParam().recipe, GetParam().fixture), options);
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    for (std::uint32_t unit = 1; unit <= 3; ++unit) {
        const auto* run = rig.last_run(unit);
        ASSERT_TRUE(run && run->unit);
        EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass) << run->unit->result.reason;
    }
    EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
}

TEST_P(ShippedRecipe, FindsTheFaultThatItIsThereFor) {
    bench::BenchOptions options;
    options.units = 1;
    options.defects.placed = {{1, GetParam().defect, GetParam().where}};
    BenchRig rig(shipped(GetParam().recipe, GetParam().fixture), options);
    rig.run();
    const auto* run = rig.last_run(1U);
    ASSERT_TRUE(run && run->unit);
    EXPECT_EQ(run->unit->result.verdict, record::Verdict::fail);
    EXPECT_THAT(run->unit->result.reason, HasSubstr(GetParam().reason));
}

TEST_P(ShippedRecipe, TakesAboutTheTimeThatIsForetold) {
    bench::BenchOptions options;
    options.units = 1;
    const auto plan = shipped(GetParam().recipe, GetParam().fixture);
    BenchRig rig(plan, options);
    rig.run();
    const double told = estimate(*plan).whole().expected.count() / 1000.0;
    EXPECT_NEAR(rig.seconds() / told, 1.0, 0.35) << rig.seconds() << " s, told " << told << " s";
}

INSTANTIATE_TEST_SUITE_P(
    All, ShippedRecipe,
    ::testing::Values(Shipped{"hob-panel-8", "hob-bench-1-nest", bench::DefectKind::thick_glue, 2,
                              "timer"},
                      Shipped{"lamp-panel-slider-wheel", "lamp-bench-1-nest",
                              bench::DefectKind::dead_channel, 3, "brightness"},
                      Shipped{"lamp-panel-slider-wheel", "lamp-line-1-nest-scpi",
                              bench::DefectKind::dead_channel, 3, "brightness"},
                      Shipped{"door-panel-proximity", "door-bench-1-nest",
                              bench::DefectKind::guard_missing, 0, "Wet"},
                      Shipped{"entry-keypad-mutual", "entry-bench-1-nest",
                              bench::DefectKind::thick_glue, 4, "5"}));

// Every kind of step is in one of them: what is shipped shows all there is.
TEST(ShippedRecipes, UseEveryKindOfStep) {
    std::vector<std::size_t> kinds;
    for (const auto& [recipe, fixture] : {std::pair{"hob-panel-8", "hob-bench-1-nest"},
                                          std::pair{"lamp-panel-slider-wheel", "lamp-bench-1-nest"},
                                          std::pair{"door-panel-proximity", "door-bench-1-nest"},
                                          std::pair{"entry-keypad-mutual", "entry-bench-1-nest"}}) {
        const auto plan = shipped(recipe, fixture);
        for (const auto& step : plan->recipe.steps) kinds.push_back(step.body.index());
    }
    std::sort(kinds.begin(), kinds.end());
    kinds.erase(std::unique(kinds.begin(), kinds.end()), kinds.end());
    EXPECT_EQ(kinds.size(), std::variant_size_v<language::StepBody>);
}

}  // namespace
}  // namespace padtrim::engine
