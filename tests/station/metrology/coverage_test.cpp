// Coverage by Monte Carlo: do the stated 95 % intervals hold the truth in 95 % of cases?
//
// References, fixture parts and temperature are redrawn within their certificates for every unit.
// What is checked against is the definition of a 95 % interval (JCGM 101 5.3); the tolerance is
// four standard deviations of the counted fraction, units being independent and channels of a unit
// not quite.
#include <algorithm>
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

// What trims make of a unit is known here to the bit, and the references exactly: what is left is
// scatter, both roundings of corrected counts, and the filter's memory.
double verified_in_their_interval(const Physics& physics, unsigned scans) {
    language::Plan plan = *test_support::demo_plan();
    auto& equipment = plan.fixture.equipment;
    equipment.temperature_coefficient = PartsPerMillionPerKelvin(0.0);
    for (auto& step : equipment.steps) {
        step.expanded_uncertainty = Picofarad(0.0);
        step.common_relative = 0.0;
    }
    for (auto& part : equipment.fixture_parts) part.expanded_uncertainty = Picofarad(0.0);
    double held = 0.0, cases = 0.0;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        SimulatedRun run(plan, physics, seed);
        std::vector<std::int32_t> gain, offset;
        for (std::size_t c = 0; c < plan.map.channels; ++c) {
            gain.push_back(
                static_cast<std::int32_t>(std::lround(400.0 / run.gain(c, 0) * 16384.0)));
            offset.push_back(static_cast<std::int32_t>(std::lround(run.offset(c, 0) * 4.0)));
        }
        run.write_trims(gain, offset);
        run.power_cycle();
        run.verify(scans);
        for (const auto& check : judge(plan, equipment, run.seen).checks) {
            const auto c = static_cast<std::size_t>(std::max(0, check.channel));
            const double trim = gain[c] / 16384.0;
            double truth = 100.0 * (run.gain(c, 0) * trim / 400.0 - 1.0);
            if (check.check == "offset error") {
                const double part =
                    equipment.fixture_part(1, static_cast<std::uint16_t>(c))->value.value();
                truth = (run.offset(c, 0) + run.gain(c, 0) * part - offset[c] / 4.0) * trim -
                        400.0 * part;
            } else if (check.check != "gain error") {
                continue;
            }
            cases += 1.0;
            held += std::abs(check.value - truth) <= check.expanded_uncertainty ? 1.0 : 0.0;
        }
    }
    return held / cases;
}

TEST(Coverage, HoldsForVerificationWhateverTheNoiseAndTheFilter) {
    for (const double noise : {0.1, 0.5, 2.0, 6.0}) {
        for (const double filter : {0.0, 0.5}) {
            for (const unsigned scans : {8U, 32U}) {
                const double held = verified_in_their_interval(
                    {.noise = noise, .filter = filter, .redraw = false}, scans);
                // A rounding that does not average out is counted in full: no less than stated.
                EXPECT_GE(held, 0.94) << noise << ", filter " << filter << ", scans " << scans;
            }
        }
    }
}

}  // namespace
}  // namespace padtrim::metrology
