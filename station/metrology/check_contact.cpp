// Contact: each channel alone feels one reference, and no other follows.
//
// Both results are parts of the change that the nominal gain promises (percent), so that a dead
// channel does not divide by nothing. First sensing frequency. Indications: they find faults of
// wiring, they do not measure.
#include <cmath>

#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

// Mean of all states with the references open, a series.
struct OpenLevel {
    std::vector<double> mean, variance, memory;
    double states = 0.0;
};

OpenLevel open_level(std::span<const StateMean> states, const Scatter& scatter,
                     std::size_t series) {
    OpenLevel open;
    open.mean.assign(series, 0.0);
    open.variance.assign(series, 0.0);
    open.memory.assign(series, 0.0);
    for (std::size_t i = 0; i < states.size(); ++i) {
        if (!states[i].situation->reference.empty()) continue;
        open.states += 1.0;
        for (std::size_t k = 0; k < series; ++k) {
            open.mean[k] += states[i].series[k].mean;
            open.variance[k] += scatter.of_mean(states[i], i, k);
            open.memory[k] += states[i].by_memory(k);
        }
    }
    if (open.states == 0.0) return open;
    for (double& m : open.mean) m /= open.states;
    for (double& m : open.memory) m /= open.states;
    for (double& v : open.variance) v /= open.states * open.states;
    return open;
}

class ContactCheck {
  public:
    ContactCheck(const Case& unit, const std::string& step, const language::ContactStep& body,
                 Findings& findings)
        : unit_(unit),
          step_(step),
          body_(body),
          findings_(findings),
          states_(states_of(unit.observations(), step, record::Reading::raw, unit.series())),
          scatter_(scatter_of(states_)),
          open_(open_level(states_, scatter_, unit.series())) {}

    void run() {
        for (std::size_t channel = 0; channel < unit_.channels(); ++channel) check(channel);
    }

  private:
    void check(std::size_t channel) {
        const std::size_t state = state_of(channel);
        const TipStep* tip = unit_.tips().step(channel, body_.reference);
        if (state == states_.size() || !tip || open_.states == 0.0 || !scatter_.known()) {
            add_unjudged(findings_, place(channel, "contact"),
                         "The contact of " + unit_.place_of(channel) + " was not read.");
            return;
        }
        const double promised = unit_.map().nominal_gain.value() * tip->value;
        add_check(findings_, unit_, place(channel, "contact"), change(channel, state, promised),
                  limits_of(body_.contact));
        if (body_.isolation.limited()) check_isolation(channel, state, promised);
    }

    // The other channel that moves most.
    void check_isolation(std::size_t channel, std::size_t state, double promised) {
        Measured most{0.0, 0.0, scatter_.degrees};
        int mover = -1;
        for (std::size_t other = 0; other < unit_.channels(); ++other) {
            if (other == channel) continue;
            Measured one = change(other, state, promised);
            one.value = std::abs(one.value);
            if (mover >= 0 && one.value <= most.value) continue;
            most = one;
            mover = static_cast<int>(other);
        }
        if (mover < 0) return;
        Finding* added = add_check(findings_, unit_, place(channel, "isolation"), most,
                                   limits_of_magnitude(body_.isolation));
        if (!added) return;
        added->other_channel = mover;
        if (added->check.verdict == record::Verdict::pass) return;
        added->check.note = "When " + unit_.place_of(channel) + " feels the reference, " +
                            unit_.place_of(static_cast<std::size_t>(mover)) + " follows with " +
                            figure(most.value, 3) + " %.";
    }

    // Change of one channel in one state, in percent of the promised change.
    [[nodiscard]] Measured change(std::size_t channel, std::size_t state, double promised) const {
        const std::size_t series = unit_.series_of(channel, 0);
        // An error of the memory moves both.
        const double memory = states_[state].by_memory(series) - open_.memory[series];
        const double variance = scatter_.of_mean(states_[state], state, series) +
                                open_.variance[series] + 2.0 * scatter_.rounding[series] +
                                memory * memory;
        const double moved = states_[state].series[series].mean - open_.mean[series];
        const double percent = 100.0 / promised;
        return {moved * percent, std::sqrt(variance) * std::abs(percent), scatter_.degrees};
    }

    [[nodiscard]] std::size_t state_of(std::size_t channel) const {
        for (std::size_t i = 0; i < states_.size(); ++i) {
            const record::Situation& s = *states_[i].situation;
            if (s.reference != body_.reference || s.channels.size() != 1) continue;
            if (s.channels[0] == channel) return i;
        }
        return states_.size();
    }

    [[nodiscard]] CheckPlace place(std::size_t channel, const char* check) const {
        return {step_,
                check,
                "%",
                Traceability::indication,
                record::Stage::as_found,
                static_cast<int>(channel),
                0,
                unit_.key_of(channel)};
    }

    const Case& unit_;
    const std::string& step_;
    const language::ContactStep& body_;
    Findings& findings_;
    std::vector<StateMean> states_;
    Scatter scatter_;
    OpenLevel open_;
};

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::ContactStep& body,
                Findings& findings) {
    ContactCheck(unit, step, body, findings).run();
}

}  // namespace padtrim::metrology
