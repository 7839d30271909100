// Touches of a simulated unit that end at the first look that decides, as the station ends them.
#pragma once

#include <vector>

#include "station/metrology/judge.hpp"
#include "station/metrology/touch_sequence.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology_test {

inline constexpr unsigned scans_in_looks = 16, looks_planned = 4;

// Limits on the touch response only, in counts.
inline language::Plan touch_plan(double low, double high) {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[4]};
    auto& body = std::get<language::TouchStep>(plan.recipe.steps[0].body);
    body.scans = scans_in_looks;
    body.looks = looks_planned;
    body.response = {Counts(low), Counts(high)};
    body.crosstalk = {};
    body.signal_to_noise = {};
    return plan;
}

inline record::Observations touched(const language::Plan& plan, const Physics& physics,
                                    std::uint64_t seed) {
    SimulatedRun run(plan, physics, seed);
    run.touch(scans_in_looks);
    return run.seen;
}

// Takes back the scans that a station would not have read: it stops at the first look that decides.
inline record::Observations stopped(const language::Plan& plan, const record::Observations& whole) {
    record::Observations seen = whole;
    seen.readings.clear();
    for (const record::Readings& readings : whole.readings) {
        seen.readings.push_back(readings);
        const auto& finger = readings.situation.finger;
        if (!finger || !finger->touching) continue;
        for (unsigned look = 1; look < looks_planned; ++look) {
            seen.readings.back().scans.assign(
                readings.scans.begin(),
                readings.scans.begin() + look * (scans_in_looks / looks_planned));
            if (metrology::touch_decided(plan, plan.fixture.equipment, seen, "touch", finger->key))
                break;
            seen.readings.back().scans = readings.scans;
        }
    }
    return seen;
}

inline double scans_touching(const record::Observations& seen) {
    double count = 0.0;
    for (const auto& readings : seen.readings) {
        const auto& finger = readings.situation.finger;
        if (finger && finger->touching) count += static_cast<double>(readings.scans.size());
    }
    return count;
}

inline std::vector<record::CheckResult> responses(const language::Plan& plan,
                                                  const record::Observations& seen) {
    auto result = metrology::judge(plan, plan.fixture.equipment, seen);
    std::erase_if(result.checks, [](const auto& check) { return check.check != "touch response"; });
    return result.checks;
}

}  // namespace padtrim::metrology_test
