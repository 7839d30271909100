// Products that are only TOML: their documents load, and a lot of good units runs green on the
// virtual bench, in the time that the plan foretells.
#include <cmath>
#include <cstdio>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "station/engine/duration.hpp"
#include "tests/station/engine/bench_rig.hpp"

namespace padtrim::engine {
namespace {

using testing::BenchRig;
using ::testing::IsEmpty;

struct Product {
    const char* name;
    const char *recipe, *map, *fixture;
    bool lines = false;  // talks in text
};

void PrintTo(const Product& product, std::ostream* out) {
    *out << product.name;
}

language::PlanPtr plan_of(const Product& product) {
    const std::string root = PADTRIM_SOURCE_DIR "/";
    const auto loaded =
        language::load_plan({root + product.recipe, root + product.map, root + product.fixture});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    return loaded.plan;
}

class DocumentLot : public ::testing::TestWithParam<Product> {};

TEST_P(DocumentLot, RunsGreenOnTheVirtualBench) {
    const auto plan = plan_of(GetParam());
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->map.lines.has_value(), GetParam().lines);
    bench::BenchOptions options;
    options.units = 4;
    options.seed = 11;
    BenchRig rig(plan, options);
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.count, (record::LotCount{4, 4, 0, 0, 0, 0}));
    for (const auto& unit : rig.bench.units()) {
        const auto* run = rig.last_run(unit->truth().serial);
        ASSERT_TRUE(run && run->unit) << unit->truth().serial;
        EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass) << run->unit->result.reason;
        EXPECT_EQ(unit->memory().commits(), 1U);
        const std::vector<std::int64_t> gain(run->intent->to_write.gain.begin(),
                                             run->intent->to_write.gain.end());
        EXPECT_EQ(unit->memory().non_volatile().gain, gain);
    }
    EXPECT_THAT(rig.bench.mishaps(), IsEmpty());
}

// Bytes take their time on the bench's wires here. In no prediction: the finger's acceleration, the
// polls of a scan's end and of the finger, the handler.
TEST_P(DocumentLot, TakesAboutTheForetoldTime) {
    const auto plan = plan_of(GetParam());
    ASSERT_TRUE(plan);
    bench::BenchOptions options;
    options.units = 1;
    options.wire_time = true;
    BenchRig rig(plan, options);
    rig.options.units = 1;
    rig.run();
    constexpr double handler_ms = 600.0;  // pulse, handling, looking
    const double taken = 1e3 * rig.seconds() - handler_ms;
    const Duration whole = estimate(*plan).whole();
    std::printf("%s: taken %.0f ms, expected %.0f ms, floor %.0f ms\n", GetParam().name, taken,
                whole.expected.count(), whole.floor.count());
    EXPECT_GT(taken, 0.95 * whole.floor.count());
    EXPECT_NEAR(taken / whole.expected.count(), 1.0, 0.15);
}

TEST_P(DocumentLot, ForetellsWhereTheTimeGoesWithoutALeftover) {
    const auto plan = plan_of(GetParam());
    ASSERT_TRUE(plan);
    const auto unit = estimate(*plan);
    auto steps = unit.steps;
    steps.push_back({"start", unit.start});
    for (const auto& step : steps) {
        double sum = 0.0;
        for (const Span part : step.time.spent) sum += part.count();
        EXPECT_NEAR(sum, step.time.expected.count(), 1e-6) << step.step;
        EXPECT_NEAR(sum - step.time.of(Work::talk).count(), step.time.floor.count(), 1e-6)
            << step.step;
    }
}

INSTANTIATE_TEST_SUITE_P(
    Shipped, DocumentLot,
    ::testing::Values(Product{"hob_panel", "recipes/examples/hob-panel-8.toml",
                              "fixtures/units/hob-panel-8.toml",
                              "fixtures/profiles/hob-bench-1-nest.toml"},
                      Product{"hood_panel_in_lines", "recipes/examples/hood-panel-4.toml",
                              "fixtures/units/hood-panel-4.toml",
                              "fixtures/profiles/hood-bench-1-nest.toml", true},
                      Product{"oven_panel_of_the_walk_through",
                              "tests/products/oven-panel-6/recipe.toml",
                              "tests/products/oven-panel-6/unit.toml",
                              "tests/products/oven-panel-6/fixture.toml"}),
    [](const auto& instance) { return std::string(instance.param.name); });

}  // namespace
}  // namespace padtrim::engine
