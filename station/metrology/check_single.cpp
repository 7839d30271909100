// Steps that judge one property by itself: crosstalk, frequency agreement, non-linearity.
//
//   frequency departure = |change at this frequency / mean change of the others - 1|
//
// of one reference, on each channel; an indication, since each frequency has a gain of its own.
#include <algorithm>
#include <cmath>

#include "station/metrology/disturbance.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

// Probability that chance alone names a frequency as the odd one. Common practice, no source.
constexpr double odd_significance = 0.01;

class FrequencyCheck {
  public:
    FrequencyCheck(const Case& unit, const std::string& step, const language::FrequencyStep& body,
                   Findings& findings)
        : unit_(unit),
          step_(step),
          body_(body),
          findings_(findings),
          states_(states_of(unit.observations(), step, record::Reading::raw, unit.series())),
          scatter_(scatter_of(states_)) {
        for (const language::Step& each : unit.plan().recipe.steps) {
            const bool fits = std::holds_alternative<language::GainOffsetStep>(each.body);
            if (fits && lines_.empty()) lines_ = fitted_channels(unit, each.name);
        }
    }

    void check(std::size_t channel) {
        std::vector<Change> changes;
        for (std::size_t f = 0; f < unit_.frequencies() && scatter_.known(); ++f) {
            if (const auto change = change_of(channel, unit_.series_of(channel, f)))
                changes.push_back(*change);
        }
        if (changes.size() != unit_.frequencies() || changes.size() < 2) {
            add_unjudged(findings_, place(channel, 0),
                         "The frequencies of " + unit_.place_of(channel) + " were not compared.");
            return;
        }
        const auto odd = odd_of(channel, changes);
        for (std::size_t f = 0; f < changes.size(); ++f) {
            Finding* added =
                add_check(findings_, unit_, place(channel, f), departure_of(changes, f),
                          limits_of_magnitude(body_.departure));
            if (added && !added->check.note.empty() && odd == f)
                added->check.note += " It stands out from all the others.";
        }
    }

  private:
    // Reference less the open states beside it; by_memory is one error of all frequencies.
    struct Change {
        double counts = 0.0, standard = 0.0, by_memory = 0.0;
    };
    [[nodiscard]] std::optional<Change> change_of(std::size_t channel, std::size_t series) const {
        Change sum;
        double variance = 0.0, pairs = 0.0;
        const auto add = [&](std::size_t i, double part) {
            sum.counts += part * states_[i].series[series].mean;
            sum.by_memory += part * states_[i].by_memory(series);
            variance +=
                part * part * (scatter_.of_mean(states_[i], i, series) + scatter_.rounding[series]);
        };
        for (std::size_t i = 1; i + 1 < states_.size(); ++i) {
            const record::Situation& s = *states_[i].situation;
            if (s.reference != body_.reference || !concerns(s, channel)) continue;
            add(i, 1.0);
            add(i - 1, -0.5);
            add(i + 1, -0.5);
            pairs += 1.0;
        }
        if (pairs == 0.0) return std::nullopt;
        return Change{sum.counts / pairs, std::sqrt(variance) / pairs, sum.by_memory / pairs};
    }
    [[nodiscard]] Measured departure_of(const std::vector<Change>& changes, std::size_t at) const {
        double others = 0.0, variance = 0.0, memory = 0.0;
        for (std::size_t f = 0; f < changes.size(); ++f) {
            if (f == at) continue;
            others += changes[f].counts;
            variance += changes[f].standard * changes[f].standard;
            memory += changes[f].by_memory;
        }
        const auto n = static_cast<double>(changes.size() - 1);
        others /= n;
        const double ratio = changes[at].counts / others;
        const double own = changes[at].standard / others;
        const double of_others = ratio * std::sqrt(variance) / (n * others);
        const double by_memory = (changes[at].by_memory - ratio * memory / n) / others;
        return {100.0 * std::abs(ratio - 1.0),
                100.0 * std::sqrt(own * own + of_others * of_others + by_memory * by_memory),
                scatter_.degrees};
    }
    // Each frequency has a gain of its own: which one stands out is asked of changes divided by the
    // line's gain, and of nobody where no line was fitted.
    [[nodiscard]] std::optional<std::size_t> odd_of(std::size_t channel,
                                                    const std::vector<Change>& changes) const {
        std::vector<FrequencyChange> normalised;
        for (std::size_t f = 0; f < changes.size(); ++f) {
            const auto line = std::find_if(lines_.begin(), lines_.end(), [&](const auto& each) {
                return each.line && each.channel == static_cast<int>(channel) &&
                       each.frequency == static_cast<int>(f);
            });
            if (line == lines_.end() || line->line->gain == 0.0) return std::nullopt;
            normalised.push_back(over_gain({changes[f].counts, changes[f].standard}, *line->line));
        }
        const auto compared = odd_frequency(normalised, odd_significance);
        return compared ? compared->odd : std::nullopt;
    }
    [[nodiscard]] CheckPlace place(std::size_t channel, std::size_t frequency) const {
        return {step_,
                "frequency departure",
                "%",
                Traceability::indication,
                record::Stage::as_found,
                static_cast<int>(channel),
                static_cast<int>(frequency),
                unit_.key_of(channel)};
    }

    const Case& unit_;
    const std::string& step_;
    const language::FrequencyStep& body_;
    Findings& findings_;
    std::vector<StateMean> states_;
    Scatter scatter_;
    std::vector<FittedChannel> lines_;
};

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::CrosstalkStep& body,
                Findings& findings) {
    language::TouchStep touch;
    touch.keys = body.keys;
    touch.crosstalk = body.crosstalk;
    check_step(unit, step, touch, findings);
}

void check_step(const Case& unit, const std::string& step, const language::FrequencyStep& body,
                Findings& findings) {
    FrequencyCheck check(unit, step, body, findings);
    for (std::size_t channel = 0; channel < unit.channels(); ++channel) check.check(channel);
}

void check_step(const Case& unit, const std::string& step, const language::NonLinearityStep& body,
                Findings& findings) {
    for (const FittedChannel& fitted : fitted_channels(unit, step)) {
        const auto channel = static_cast<std::size_t>(fitted.channel);
        CheckPlace place{step,
                         "non-linearity",
                         "%",
                         Traceability::traceable,
                         record::Stage::as_found,
                         fitted.channel,
                         fitted.frequency,
                         unit.key_of(channel)};
        if (!fitted.line || fitted.line->span <= 0.0) {
            add_unjudged(
                findings, std::move(place),
                "No line for " + unit.place_of(channel) + ": " + fitted.problem.what + ".");
            continue;
        }
        const LineFit& fit = *fitted.line;
        const double percent = 100.0 / fit.span;
        add_check(findings, unit, std::move(place),
                  {fit.departure * percent, fit.departure_standard * percent, fit.scatter_degrees},
                  limits_of_magnitude(body.non_linearity));
    }
}

}  // namespace padtrim::metrology
