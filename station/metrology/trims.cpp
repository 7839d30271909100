// From fitted lines to register values: corrected = (counts - offset_trim) * gain_trim +
// nominal_offset, in fixed point. Out of range is named, never clipped in silence.
#include <cmath>
#include <stdexcept>

#include "db/record/attempts.hpp"
#include "station/metrology/judge.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

template <class Body>
const language::Step* step_with(const language::Recipe& recipe) {
    for (const language::Step& step : recipe.steps) {
        if (std::holds_alternative<Body>(step.body)) return &step;
    }
    return nullptr;
}

// Register value of a trim, or why there is none.
Trimmed<std::int32_t> to_register(const Case& unit, const char* name, std::size_t channel,
                                  double value, const language::TrimFormat& format) {
    const double steps = std::ldexp(1.0, static_cast<int>(format.fraction_bits));
    const double rounded = std::nearbyint(value * steps);
    if (rounded >= format.minimum * steps && rounded <= format.maximum * steps &&
        std::abs(rounded) <= 2147483647.0) {
        return {boost::system::in_place_value, static_cast<std::int32_t>(rounded)};
    }
    return TrimProblem{static_cast<int>(channel),
                       std::string("The ") + name + " trim of " + unit.place_of(channel) +
                           " would be " + figure(value, 5) + ", outside the register's " +
                           figure(format.minimum, 5) + " to " + figure(format.maximum, 5) + ".",
                       true};
}

// What the recipe's target asks of one channel.
struct Wanted {
    double gain_trim = 1.0, offset_trim = 0.0;
};

Trimmed<Wanted> wanted_of(const Case& unit, const FittedChannel& fitted,
                          const language::WriteTrimsStep& write,
                          const std::vector<KeyResponse>& responses) {
    const auto channel = static_cast<std::size_t>(fitted.channel);
    if (!fitted.line) {
        return TrimProblem{fitted.channel, "No line was fitted for " + unit.place_of(channel) +
                                               ": " + fitted.problem.what + "."};
    }
    const LineFit& line = *fitted.line;
    if (write.target == language::TrimTarget::touch) {
        for (const KeyResponse& r : responses) {
            if (r.channel != fitted.channel || !(r.response.value > 0.0)) continue;
            return Wanted{write.target_response.value() / r.response.value, line.offset};
        }
    }
    // A channel without a key is trimmed to its gain under either target.
    const bool of_key = !unit.key_of(channel).empty();
    if (write.target == language::TrimTarget::touch && of_key) {
        return TrimProblem{fitted.channel,
                           "No touch response was measured for " + unit.place_of(channel) + "."};
    }
    if (!(line.gain * unit.map().nominal_gain.value() > 0.0)) {
        return TrimProblem{fitted.channel,
                           "The gain of " + unit.place_of(channel) + " is " + figure(line.gain) +
                               " counts/pF; no trim mends it.",
                           true};
    }
    return Wanted{unit.map().nominal_gain.value() / line.gain, line.offset};
}

std::vector<KeyResponse> responses_for(const Case& unit, const language::WriteTrimsStep& write) {
    const language::Step* touch = step_with<language::TouchStep>(unit.plan().recipe);
    if (write.target != language::TrimTarget::touch || !touch) return {};
    return key_responses(unit, touch->name, 0);
}

}  // namespace

void throw_exception_from_error(const TrimProblem& problem, const boost::source_location&) {
    throw std::logic_error("trim problem taken for a value: " + problem.what);
}

namespace {

Trimmed<TrimProposal> proposal_of(const Case& unit) {
    const language::Plan& plan = unit.plan();
    const language::Step* fit = step_with<language::GainOffsetStep>(plan.recipe);
    if (!fit) return TrimProblem{-1, "The recipe has no step that measures gain and offset."};
    language::WriteTrimsStep write;
    if (const language::Step* step = step_with<language::WriteTrimsStep>(plan.recipe)) {
        write = std::get<language::WriteTrimsStep>(step->body);
    }
    const auto responses = responses_for(unit, write);
    TrimProposal proposal;
    for (const FittedChannel& fitted : fitted_channels(unit, fit->name)) {
        if (fitted.frequency != 0) continue;
        const auto channel = static_cast<std::size_t>(fitted.channel);
        const auto wanted = wanted_of(unit, fitted, write, responses);
        if (!wanted) return wanted.error();
        const auto gain = to_register(unit, "gain", channel, wanted->gain_trim, plan.map.gain_trim);
        if (!gain) return gain.error();
        const auto offset =
            to_register(unit, "offset", channel, wanted->offset_trim, plan.map.offset_trim);
        if (!offset) return offset.error();
        proposal.gain.push_back(*gain);
        proposal.offset.push_back(*offset);
    }
    return proposal;
}

}  // namespace

Trimmed<TrimProposal> propose_trims(const language::Plan& plan,
                                    const language::EquipmentRecord& references,
                                    const record::Observations& observations) {
    if (observations.attempts.empty()) return proposal_of(Case(plan, references, observations));
    const record::Observations counted = record::without_earlier_attempts(observations);
    return proposal_of(Case(plan, references, counted));
}

void check_trims_reach(const Case& unit, const std::string& step, Findings& findings) {
    const auto proposal = proposal_of(unit);
    if (proposal || !proposal.error().out_of_range) return;
    const TrimProblem& problem = proposal.error();
    CheckPlace place{step, "trims in range", "1", record::Traceability::indication};
    place.channel = problem.channel;
    place.key = unit.key_of(static_cast<std::size_t>(problem.channel));
    add_condition(findings, std::move(place), false, problem.what);
}

}  // namespace padtrim::metrology
