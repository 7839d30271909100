// Coverage by Monte Carlo: do the stated 95 % intervals hold the truth in 95 % of cases?
//
// References, fixture parts and temperature are redrawn within their certificates for every unit.
// What is checked against is the definition of a 95 % interval (JCGM 101 5.3); the tolerance is
// four standard deviations of the counted fraction, units being independent and channels of a unit
// not quite.
#include <cmath>

#include <gtest/gtest.h>

#include "station/metrology/joint_region.hpp"
#include "station/metrology/judge.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;

// A plan that fits one frequency, so that a Monte Carlo is quick.
language::Plan small_plan() {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[2]};
    return plan;
}

struct Held {
    double cases = 0.0, gain = 0.0, offset = 0.0, joint = 0.0;
};

Held held_of(const Physics& physics, int units, unsigned scans, const language::Plan& plan) {
    Held held;
    for (int unit = 0; unit < units; ++unit) {
        SimulatedRun run(plan, physics, 1000 + static_cast<std::uint64_t>(unit));
        run.gain_and_offset(scans);
        for (const auto& line : judge(plan, plan.fixture.equipment, run.seen).lines) {
            const auto channel = static_cast<std::size_t>(line.channel);
            const double g = line.gain - run.gain(channel, 0);
            const double o = line.offset - run.offset_halfway(channel, 0);
            held.cases += 1.0;
            held.gain += std::abs(g) <= line.gain_expanded ? 1.0 : 0.0;
            held.offset += std::abs(o) <= line.offset_expanded ? 1.0 : 0.0;
            const bool joint =
                in_joint_region(line, run.gain(channel, 0), run.offset_halfway(channel, 0));
            held.joint += joint ? 1.0 : 0.0;
        }
    }
    return held;
}

void expect_95(const Physics& physics, int units, unsigned scans, const char* what,
               const language::Plan& plan = small_plan()) {
    const Held held = held_of(physics, units, scans, plan);
    const double tolerance = 4.0 * std::sqrt(0.95 * 0.05 / held.cases * 2.0);
    std::printf("%-28s gain %.4f  offset %.4f  joint %.4f  (+-%.4f)\n", what,
                held.gain / held.cases, held.offset / held.cases, held.joint / held.cases,
                tolerance);
    EXPECT_NEAR(held.gain / held.cases, 0.95, tolerance) << what;
    EXPECT_NEAR(held.offset / held.cases, 0.95, tolerance) << what;
    EXPECT_NEAR(held.joint / held.cases, 0.95, tolerance) << what;
}

TEST(Coverage, HoldsForIndependentReadings) {
    expect_95({}, 2000, 16, "independent");
}

TEST(Coverage, HoldsForCorrelatedReadings) {
    expect_95({.noise = 6.0, .correlation = 0.6}, 2000, 16, "correlation 0.6");
}

TEST(Coverage, HoldsWhenNoiseDominatesAndReadingsAreFew) {
    expect_95({.noise = 20.0}, 2000, 4, "noise 20, 4 scans");
}

TEST(Coverage, HoldsWhenTheFilterRemembersTheStateBefore) {
    expect_95({.noise = 6.0, .filter = 0.5}, 2000, 16, "filter keeps 0.5");
    expect_95({.noise = 6.0, .filter = 0.8}, 2000, 24, "filter keeps 0.8");
}

TEST(Coverage, HoldsWhenTheMeterLeavesSomethingOut) {
    language::Plan plan = small_plan();
    plan.fixture.equipment.definition_relative = 0.003;
    expect_95({}, 2000, 16, "definition 0.3 %", plan);
}

TEST(Coverage, HoldsUnderDrift) {
    expect_95({.drift = 3.0}, 2000, 16, "drift 3 counts/s");
}

}  // namespace
}  // namespace padtrim::metrology
