// Do the stated 95 % intervals hold the truth in 95 % of cases, channel by channel? The truth is
// drawn, so the definition itself is checked (JCGM 101 5.3; joint region as joint_region.hpp).
#include <algorithm>
#include <cmath>

#include "station/metrology/joint_region.hpp"
#include "station/metrology/judge.hpp"
#include "tests/coverage/trials.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::coverage {

namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;

struct Held {
    double gain = 0.0, offset = 0.0, joint = 0.0;
};

struct Situation {
    const char* name;
    Physics physics;
    unsigned scans;
    bool at_least = false;  // the interval may hold more than it states
    const char* says = "";
};

// One frequency, and only the step that fits lines.
language::Plan line_plan() {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[2]};
    return plan;
}

void count_unit(const language::Plan& plan, const Situation& situation, std::uint64_t seed,
                std::vector<Held>& channels) {
    SimulatedRun run(plan, situation.physics, seed);
    run.gain_and_offset(situation.scans);
    for (const auto& line : metrology::judge(plan, plan.fixture.equipment, run.seen).lines) {
        const auto c = static_cast<std::size_t>(line.channel);
        const double gain = run.gain(c, 0), offset = run.offset_halfway(c, 0);
        channels[c].gain += std::abs(line.gain - gain) <= line.gain_expanded ? 1.0 : 0.0;
        channels[c].offset += std::abs(line.offset - offset) <= line.offset_expanded ? 1.0 : 0.0;
        channels[c].joint += metrology::in_joint_region(line, gain, offset) ? 1.0 : 0.0;
    }
}

Table table_of(const Situation& situation, int units) {
    const language::Plan plan = line_plan();
    std::vector<Held> channels(plan.map.channels);
    for (int unit = 0; unit < units; ++unit) {
        count_unit(plan, situation, static_cast<std::uint64_t>(unit) + 1, channels);
    }
    // 0.95 +- 0.005, or four standard deviations of fewer units.
    const double allowed = std::max(0.005, 4.0 * std::sqrt(0.95 * 0.05 / units));
    Table table{situation.name,
                std::to_string(situation.scans) + " scans at each of 9 states." + situation.says,
                {}};
    for (std::size_t c = 0; c < channels.size(); ++c) {
        const std::string channel = "channel " + std::to_string(c);
        const auto put = [&](const char* what, double held) {
            table.shares.push_back({channel + what, 0.95, held / units, 0.95 - allowed,
                                    situation.at_least ? 1.0 : 0.95 + allowed});
        };
        put(", gain", channels[c].gain);
        put(", offset", channels[c].offset);
        put(", gain and offset together", channels[c].joint);
    }
    return table;
}

}  // namespace

std::vector<Table> interval_tables(int units) {
    const Situation situations[] = {
        {"Intervals: independent readings, noise 2 counts", {}, 16},
        {"Intervals: filtered readings (correlation 0.6), noise 6 counts",
         {.noise = 6.0, .correlation = 0.6},
         16},
        {"Intervals: few and noisy readings, noise 20 counts", {.noise = 20.0}, 4},
        {"Intervals: drift of 3 counts/s", {.drift = 3.0}, 16},
        {"Intervals: a filter that keeps 0.8 of its value from state to state",
         {.filter = 0.8},
         8,
         false,
         " What the filter keeps is estimated from the first scans of each state and undone; the "
         "intervals carry the doubt of that estimate."},
        {"Intervals: quiet readings, noise 0.2 counts",
         {.noise = 0.2},
         16,
         true,
         " Readings that hardly leave one count say little of what lies between: the resolution "
         "floor (1/12 of a squared count, JCGM 100 F.2.2.1) is the most that this can be, so that "
         "the intervals hold at least what they state."},
    };
    std::vector<Table> tables;
    for (const Situation& situation : situations) tables.push_back(table_of(situation, units));
    return tables;
}

}  // namespace padtrim::coverage
