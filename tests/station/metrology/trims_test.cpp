#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/judge.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;
using testing::HasSubstr;

const language::Plan& plan() {
    static const language::PlanPtr demo = test_support::demo_plan();
    return *demo;
}

TEST(Trims, MapAnExactUnitToNominal) {
    SimulatedRun run(plan(), {.noise = 0.5, .redraw = false}, 1);
    run.measure();
    const auto trims = propose_trims(plan(), plan().fixture.equipment, run.seen);
    ASSERT_TRUE(trims.has_value());
    for (std::size_t c = 0; c < 8; ++c) {
        const double gain = run.gain(c, 0) * std::ldexp(trims->gain[c], -14);
        EXPECT_NEAR(gain, 400.0, 0.2);
        EXPECT_NEAR(std::ldexp(trims->offset[c], -2), run.offset(c, 0), 0.5);
    }
}

TEST(Trims, NameAChannelOutOfTheRegistersRange) {
    SimulatedRun run(plan(), {}, 2);
    run.measure();
    language::Plan narrow = plan();
    narrow.map.gain_trim.minimum = 1.5;
    const auto trims = propose_trims(narrow, narrow.fixture.equipment, run.seen);
    ASSERT_FALSE(trims.has_value());
    EXPECT_EQ(trims.error().channel, 0);
    EXPECT_THAT(trims.error().what, HasSubstr("gain trim of key 1"));
    EXPECT_THAT(trims.error().what, HasSubstr("outside the register's 1.5 to 1.99"));
}

TEST(Trims, FailAUnitThatTheyCannotReachAndDoNotAskForItAgain) {
    SimulatedRun run(plan(), {}, 2);
    run.measure();
    language::Plan narrow = plan();
    narrow.map.gain_trim.minimum = 1.5;
    const auto result = judge(narrow, narrow.fixture.equipment, run.seen);
    EXPECT_EQ(result.verdict, record::Verdict::fail);
    EXPECT_EQ(result.disposition, record::Disposition::rework);
    EXPECT_THAT(result.reason, HasSubstr("gain trim of key 1"));
    EXPECT_EQ(result.checks.back().check, "trims in range");
    EXPECT_EQ(result.checks.back().channel, 0);
    // Within reach, a unit that was not written was stopped by something else.
    EXPECT_EQ(judge(plan(), plan().fixture.equipment, run.seen).verdict,
              record::Verdict::no_verdict);
}

TEST(Trims, RefuseADeadChannelAndAnEmptyRun) {
    SimulatedRun run(plan(), {.dead_channel = 1}, 3);
    run.measure();
    const auto dead = propose_trims(plan(), plan().fixture.equipment, run.seen);
    ASSERT_FALSE(dead.has_value());
    EXPECT_EQ(dead.error().channel, 1);
    const auto empty = propose_trims(plan(), plan().fixture.equipment, {});
    ASSERT_FALSE(empty.has_value());
    EXPECT_THAT(empty.error().what, HasSubstr("No line was fitted for key 1"));
}

TEST(Trims, AimAtTheTouchWhenTheRecipeSaysSo) {
    SimulatedRun run(plan(), {.noise = 0.5, .redraw = false}, 4);
    run.measure();
    language::Plan by_touch = plan();
    by_touch.recipe.steps[5].body =
        language::WriteTrimsStep{language::TrimTarget::touch, Counts(400.0)};
    const auto trims = propose_trims(by_touch, by_touch.fixture.equipment, run.seen);
    ASSERT_TRUE(trims.has_value());
    // The simulated touch is 350 counts on every key.
    for (const auto gain : trims->gain) EXPECT_NEAR(std::ldexp(gain, -14), 400.0 / 350.0, 0.002);
}

}  // namespace
}  // namespace padtrim::metrology
