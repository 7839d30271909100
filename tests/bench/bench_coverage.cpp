// Coverage and risks over many units: `bench_coverage [units]`, 100 000 when not said.
//
// References, fixture part and temperature are redrawn within their certificates for every unit.
// Prints what part of the stated 95 % intervals and joint regions holds the truth per channel, how
// often a gain that lies on its limit is accepted, and what early stopping saves. Exits with 1 when
// a figure leaves its bounds.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "station/metrology/joint_region.hpp"
#include "station/metrology/judge.hpp"
#include "station/metrology/sequential_limit.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim {
namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;

bool good = true;

void within(const char* what, double value, double low, double high) {
    const bool holds = value >= low && value <= high;
    good = good && holds;
    std::printf("%-52s %8.5f  (%.5f to %.5f) %s\n", what, value, low, high, holds ? "" : "OUT");
}

language::Plan gain_plan() {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[2]};
    return plan;
}

struct Held {
    double gain = 0.0, offset = 0.0, joint = 0.0;
};

void coverage(const char* name, const Physics& physics, int units) {
    const language::Plan plan = gain_plan();
    std::vector<Held> channels(plan.map.channels);
    for (int unit = 0; unit < units; ++unit) {
        SimulatedRun run(plan, physics, static_cast<std::uint64_t>(unit) + 1);
        run.gain_and_offset();
        for (const auto& line : metrology::judge(plan, plan.fixture.equipment, run.seen).lines) {
            const auto c = static_cast<std::size_t>(line.channel);
            const double gain = run.gain(c, 0), offset = run.offset_halfway(c, 0);
            channels[c].gain += std::abs(line.gain - gain) <= line.gain_expanded ? 1.0 : 0.0;
            channels[c].offset +=
                std::abs(line.offset - offset) <= line.offset_expanded ? 1.0 : 0.0;
            channels[c].joint += metrology::in_joint_region(line, gain, offset) ? 1.0 : 0.0;
        }
    }
    std::printf("%s, %d units\n", name, units);
    // 0.95 +- 0.005, or four standard deviations of fewer units.
    const double allowed = std::max(0.005, 4.0 * std::sqrt(0.95 * 0.05 / units));
    for (std::size_t c = 0; c < channels.size(); ++c) {
        char what[64];
        const auto show = [&](const char* which, double held) {
            std::snprintf(what, sizeof what, "  channel %zu, %s held by its 95 %%", c, which);
            within(what, held / units, 0.95 - allowed, 0.95 + allowed);
        };
        show("gain", channels[c].gain);
        show("offset", channels[c].offset);
        show("gain and offset", channels[c].joint);
    }
}

// Every channel's true gain lies exactly on the lower limit.
void false_acceptance(int units) {
    language::Plan plan = gain_plan();
    auto& body = std::get<language::GainOffsetStep>(plan.recipe.steps[0].body);
    body.gain = {plan.map.nominal_gain, {}};
    body.offset = {};
    body.non_linearity = {};
    Physics physics;
    physics.gain_spread = 0.0;
    double accepted = 0.0, checks = 0.0;
    for (int unit = 0; unit < units; ++unit) {
        SimulatedRun run(plan, physics, 7000000 + static_cast<std::uint64_t>(unit));
        run.gain_and_offset();
        for (const auto& c : metrology::judge(plan, plan.fixture.equipment, run.seen).checks) {
            checks += 1.0;
            accepted += c.verdict == record::Verdict::pass ? 1.0 : 0.0;
        }
    }
    // Channels of a unit share the meter's error; count units for the tolerance.
    const double allowed = 4.0 * std::sqrt(0.025 * 0.975 / units);
    within("gain on its limit, accepted (stated risk 0.025)", accepted / checks, 0.0,
           0.025 + allowed);
}

void early_stopping(int runs) {
    using namespace metrology;
    const SequentialPlan plan{statistics::BoundaryShape::pocock, 5, 16, 0.025};
    // Filtered readings whose whole plan is worth five standard deviations of half a tolerance.
    const double r = 0.5, worth = (1.0 + r) / (1.0 - r);
    const double deviation =
        2.0 / 5.0 * std::sqrt(static_cast<double>(plan.most_readings()) / worth);
    const auto rule = *SequentialLimit::of(plan, {-4.0, 4.0}, deviation, r);
    for (const double truth : {4.0, 2.0, 0.0}) {
        metrology_test::Random random(5);
        double inside = 0.0, readings = 0.0;
        for (int t = 0; t < runs; ++t) {
            double sum = 0.0, state = random.normal();
            auto decision = LimitDecision::undetermined;
            std::size_t n = 0;
            while (n < plan.most_readings() && decision == LimitDecision::undetermined) {
                state = r * state + std::sqrt(1.0 - r * r) * random.normal();
                sum += truth + deviation * state;
                ++n;
                decision = rule.after(n, sum / static_cast<double>(n));
            }
            inside += decision == LimitDecision::inside ? 1.0 / runs : 0.0;
            readings += static_cast<double>(n) / runs / static_cast<double>(plan.most_readings());
        }
        char what[80];
        std::snprintf(what, sizeof what, "limit 4, true value %g, called inside", truth);
        within(what, inside, truth == 4.0 ? 0.0 : 0.9, truth == 4.0 ? 0.0265 : 1.0);
        std::snprintf(what, sizeof what, "limit 4, true value %g, part of the readings used",
                      truth);
        within(what, readings, 0.0, truth == 4.0 ? 1.0 : 0.5);
    }
}

}  // namespace
}  // namespace padtrim

int main(int argc, char** argv) {
    const int units = argc > 1 ? std::atoi(argv[1]) : 100000;
    padtrim::coverage("independent readings", {}, units);
    padtrim::coverage("correlated readings (0.6), noise 6", {.noise = 6.0, .correlation = 0.6},
                      units / 4);
    padtrim::false_acceptance(units / 4);
    padtrim::early_stopping(units);
    return padtrim::good ? 0 : 1;
}
