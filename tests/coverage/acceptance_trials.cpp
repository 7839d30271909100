// How often does the guarded rule accept what it should not? JCGM 106 8.3: a value on the limit is
// accepted with the stated consumer's risk, one beyond it with less.
#include <cmath>

#include "station/metrology/judge.hpp"
#include "tests/coverage/trials.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::coverage {

namespace {

using metrology_test::Physics;
using metrology_test::SimulatedRun;

constexpr double risk = 0.025;

struct Counted {
    double accepted = 0.0, bad = 0.0, bad_accepted = 0.0, all = 0.0;
};

// Limits on the gain only, `low` and `high` as parts of the nominal.
language::Plan limited(double low, double high) {
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[2]};
    auto& body = std::get<language::GainOffsetStep>(plan.recipe.steps[0].body);
    body.gain = {};
    if (low > 0.0) body.gain.low = plan.map.nominal_gain * low;
    if (high > 0.0) body.gain.high = plan.map.nominal_gain * high;
    body.offset = {};
    body.non_linearity = {};
    return plan;
}

Counted counted(const language::Plan& plan, const Physics& physics, int units, std::uint64_t seed) {
    const auto& limits = std::get<language::GainOffsetStep>(plan.recipe.steps[0].body).gain;
    Counted count;
    for (int unit = 0; unit < units; ++unit) {
        SimulatedRun run(plan, physics, seed + static_cast<std::uint64_t>(unit));
        run.gain_and_offset();
        for (const auto& c : metrology::judge(plan, plan.fixture.equipment, run.seen).checks) {
            const double truth = run.gain(static_cast<std::size_t>(c.channel), 0);
            const bool pass = c.verdict == record::Verdict::pass;
            const bool bad = (limits.low && truth < limits.low->value()) ||
                             (limits.high && truth > limits.high->value());
            count.all += 1.0;
            count.accepted += pass ? 1.0 : 0.0;
            count.bad += bad ? 1.0 : 0.0;
            count.bad_accepted += bad && pass ? 1.0 : 0.0;
        }
    }
    return count;
}

// Noise exactly on its limit; the limit is that of the counts, rounded as they are.
double noise_accepted(unsigned scans, int channels) {
    constexpr double sigma = 3.0;
    language::Plan plan = *test_support::demo_plan();
    plan.map.frequencies.resize(1);
    plan.recipe.steps = {plan.recipe.steps[3]};
    auto& body = std::get<language::NoiseStep>(plan.recipe.steps[0].body);
    body.scans = scans;
    body.noise = {std::nullopt, Counts(std::sqrt(sigma * sigma + 1.0 / 12.0))};
    double accepted = 0.0, all = 0.0;
    for (std::uint64_t unit = 0; all < channels; ++unit) {
        SimulatedRun run(plan, {.noise = sigma}, 47000000 + unit);
        run.noise(scans);
        for (const auto& c : metrology::judge(plan, plan.fixture.equipment, run.seen).checks) {
            all += 1.0;
            accepted += c.verdict == record::Verdict::pass ? 1.0 : 0.0;
        }
    }
    return accepted / all;
}

}  // namespace

Table acceptance_table(int units) {
    Table table{"False acceptance",
                "Guarded rule with a consumer's risk of 0.025. Channels of a unit share the "
                "meter's error, so the bound allows four standard deviations of the units, not of "
                "the channels.",
                {}};
    const double allowed = risk + 4.0 * std::sqrt(risk * (1.0 - risk) / units);
    Physics on_limit;
    on_limit.gain_spread = 0.0;
    const auto low = counted(limited(1.0, 0.0), on_limit, units, 7000000);
    table.shares.push_back(
        {"gain exactly on its lower limit, accepted", risk, low.accepted / low.all, 0.0, allowed});
    const auto high = counted(limited(0.0, 1.0), on_limit, units, 17000000);
    table.shares.push_back({"gain exactly on its upper limit, accepted", risk,
                            high.accepted / high.all, 0.0, allowed});
    Physics filtered = on_limit;
    filtered.noise = 6.0;
    filtered.correlation = 0.6;
    const auto slow = counted(limited(1.0, 0.0), filtered, units, 27000000);
    table.shares.push_back({"the same with filtered readings (0.6), noise 6 counts", risk,
                            slow.accepted / slow.all, 0.0, allowed});
    for (const unsigned scans : {8U, 64U}) {
        table.shares.push_back(
            {"noise exactly on its limit, " + std::to_string(scans) + " scans, accepted", risk,
             noise_accepted(scans, units), 0.0, allowed});
    }
    // Gains spread by 3 % of nominal, limits at 4 %: a fifth of the channels is bad.
    const auto lot = counted(limited(0.96, 1.04), {}, units, 37000000);
    table.shares.push_back(
        {"bad channels of a lot, accepted", risk, lot.bad_accepted / lot.bad, 0.0, allowed});
    table.shares.push_back({"bad channels among the accepted of a lot", risk,
                            lot.bad_accepted / lot.accepted, 0.0, allowed});
    return table;
}

}  // namespace padtrim::coverage
