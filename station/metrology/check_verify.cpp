// Verification: what the trimmed unit makes of a reference that the fit never saw.
//
//   gain error   = corrected change / (nominal gain * step) - 1
//   offset error = corrected open reading - nominal gain * fixture's part - nominal offset
//
// First sensing frequency, which the trims aim at. Both roundings, of the counts and of what was
// made of them, are part of the uncertainty, and repeat when a state repeats. The rounding of the
// trims is none: it is an error that the unit has, and that is measured here.
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "db/statistics/resolution.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

struct Level {
    double mean = 0.0, variance = 0.0, memory = 0.0;
    std::size_t states = 0;
    void add(double value, double of, double by_memory) {
        mean += value;
        variance += of;
        memory += by_memory;
        ++states;
    }
    // Quiet counts round the same way in every state: that does not average out.
    void finish(double rounding) {
        if (states == 0) return;
        const double n = static_cast<double>(states);
        mean /= n;
        memory /= n;
        variance = variance / (n * n) + rounding;
    }
};

// Corrected counts are whole counts, scaled by nearly 1 and rounded again: the second rounding is
// nearly the same for all counts that the noise reaches, and does not average out.
double rounding_of_corrected(double observed_variance) {
    constexpr double once = 1.0 / 12.0;
    return *statistics::rounding_left(std::max(0.0, observed_variance - once)) + once;
}

class VerifyCheck {
  public:
    VerifyCheck(const Case& unit, const std::string& step, const language::VerifyStep& body,
                Findings& findings)
        : unit_(unit),
          step_(step),
          body_(body),
          findings_(findings),
          states_(states_of(unit.observations(), step, record::Reading::corrected, unit.series())),
          scatter_(scatter_of(states_)) {}

    void run() {
        for (std::size_t channel = 0; channel < unit_.channels(); ++channel) check(channel);
    }

    struct Errors {
        double gain = 0.0, offset = 0.0;  // %, counts
        std::array<Part, 7> gain_parts;
        std::array<Part, 4> offset_parts;
    };
    // Nothing where the reference or its open states were not read.
    [[nodiscard]] std::optional<Errors> errors_of(std::size_t channel) const {
        const TipStep* tip = unit_.tips().step(channel, body_.reference);
        Level with, open;
        if (scatter_.known()) collect(channel, with, open);
        if (!tip || with.states == 0 || open.states == 0) return std::nullopt;
        const TipPart part = unit_.tips().part_or_none(channel);
        Errors errors;
        fill_gain(errors, with, open, *tip, part);
        fill_offset(errors, open, part);
        return errors;
    }

  private:
    void check(std::size_t channel) {
        if (!body_.gain_error.limited() && !body_.offset_error.limited()) return;
        const auto found = errors_of(channel);
        if (!found) {
            add_unjudged(findings_, place(channel, "gain error", "%"),
                         "The trims of " + unit_.place_of(channel) + " were not verified.");
            return;
        }
        add_check(findings_, unit_, place(channel, "gain error", "%"),
                  measured_of(found->gain, found->gain_parts), limits_of(body_.gain_error));
        add_check(findings_, unit_, place(channel, "offset error", "counts"),
                  measured_of(found->offset, found->offset_parts), limits_of(body_.offset_error));
    }

    // The reference's states on this channel, and the open ones beside them.
    void collect(std::size_t channel, Level& with, Level& open) const {
        const std::size_t series = unit_.series_of(channel, 0);
        const double rounding = rounding_of_corrected(scatter_.variance[series]);
        const auto is_reference = [&](std::size_t i) {
            const record::Situation& s = *states_[i].situation;
            return s.reference == body_.reference && concerns(s, channel);
        };
        const auto is_open = [&](std::size_t i) {
            return states_[i].situation->reference.empty() && states_[i].situation->pins_connected;
        };
        for (std::size_t i = 0; i < states_.size(); ++i) {
            const double variance = scatter_.of_mean(states_[i], i, series);
            const auto take = [&](Level& level) {
                level.add(states_[i].series[series].mean, variance, states_[i].by_memory(series));
            };
            if (is_reference(i)) take(with);
            const bool beside =
                (i > 0 && is_reference(i - 1)) || (i + 1 < states_.size() && is_reference(i + 1));
            if (is_open(i) && beside) take(open);
        }
        with.finish(rounding);
        open.finish(rounding);
    }

    // In percent of the promised change.
    void fill_gain(Errors& errors, const Level& with, const Level& open, const TipStep& tip,
                   const TipPart& part) const {
        const double promised = unit_.map().nominal_gain.value() * tip.value;
        errors.gain = 100.0 * ((with.mean - open.mean) / promised - 1.0);
        const double counts = 100.0 / promised, picofarad = -100.0 / tip.value;
        errors.gain_parts = {{
            readings("readings, closed less open", with.variance + open.variance, counts),
            {"the reference's own error", "pF", tip.value, tip.independent, picofarad},
            {"meter common to all references", "pF", 0.0, tip.common, picofarad},
            {"temperature of the reference", "pF", 0.0, tip.temperature, picofarad},
            {"what a guarded meter leaves out", "pF", 0.0, tip.definition, picofarad},
            flexing(part, picofarad),
            memory(with.memory - open.memory, counts),
        }};
    }

    void fill_offset(Errors& errors, const Level& open, const TipPart& part) const {
        const double gain = unit_.map().nominal_gain.value();
        errors.offset = open.mean - gain * part.value - unit_.map().nominal_offset.value();
        errors.offset_parts = {{
            readings("readings, open", open.variance, 1.0),
            {"the fixture's part", "pF", part.value, part.standard, -gain},
            flexing(part, -gain),
            memory(open.memory, 1.0),
        }};
    }

    // Closed and open share one scatter, and so its degrees.
    [[nodiscard]] Part readings(const char* name, double variance, double sensitivity) const {
        return {name,
                "counts",
                0.0,
                std::sqrt(variance),
                sensitivity,
                scatter_.degrees,
                Evaluation::type_a,
                InputShape::student};
    }
    [[nodiscard]] static Part memory(double counts, double sensitivity) {
        return {"memory of the product's filter", "counts", 0.0, std::abs(counts), sensitivity};
    }
    [[nodiscard]] static Part flexing(const TipPart& part, double sensitivity) {
        return {"flexing of the wiring",
                "pF",
                0.0,
                part.flexing,
                sensitivity,
                std::numeric_limits<double>::infinity(),
                Evaluation::type_b,
                InputShape::rectangular};
    }

    [[nodiscard]] CheckPlace place(std::size_t channel, const char* check, const char* unit) const {
        return {step_,
                check,
                unit,
                Traceability::traceable,
                record::Stage::as_left,
                static_cast<int>(channel),
                0,
                unit_.key_of(channel)};
    }

    const Case& unit_;
    const std::string& step_;
    const language::VerifyStep& body_;
    Findings& findings_;
    std::vector<StateMean> states_;
    Scatter scatter_;
};

}  // namespace

std::vector<CheckBudget> verify_budgets(const Case& unit, const std::string& step,
                                        const language::VerifyStep& body) {
    Findings none;
    const VerifyCheck check(unit, step, body, none);
    std::vector<CheckBudget> budgets;
    for (std::size_t channel = 0; channel < unit.channels(); ++channel) {
        const auto errors = check.errors_of(channel);
        if (!errors) continue;
        const auto add = [&](Budget budget) {
            budgets.push_back(
                {step, unit.key_of(channel), static_cast<int>(channel), 0, std::move(budget)});
        };
        add(budget_of("gain error", "%", errors->gain, errors->gain_parts));
        add(budget_of("offset error", "counts", errors->offset, errors->offset_parts));
    }
    return budgets;
}

void check_step(const Case& unit, const std::string& step, const language::VerifyStep& body,
                Findings& findings) {
    VerifyCheck(unit, step, body, findings).run();
    if (!body.finger) return;
    std::vector<std::string> keys;
    for (const language::Key& key : unit.map().keys) keys.push_back(key.name);
    check_touch_reports(unit, step, record::Stage::as_left, keys, findings);
}

}  // namespace padtrim::metrology
