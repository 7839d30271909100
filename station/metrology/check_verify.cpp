// Verification: what the trimmed unit makes of a reference that the fit never saw.
//
//   gain error   = corrected change / (nominal gain * step) - 1
//   offset error = corrected open reading - nominal gain * fixture's part - nominal offset
//
// First sensing frequency, which the trims aim at. Whole corrected counts are part of the
// uncertainty, and repeat when a state repeats. The rounding of the trims is none: it is an error
// that the unit has, and that is measured here.
#include <cmath>

#include "db/statistics/resolution.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

struct Level {
    double mean = 0.0, variance = 0.0;
    std::size_t states = 0;
    void add(double value, double of) {
        mean += value;
        variance += of;
        ++states;
    }
    // Quiet counts round the same way in every state: that does not average out.
    void finish(double rounding) {
        if (states == 0) return;
        const double n = static_cast<double>(states);
        mean /= n;
        variance = variance / (n * n) + rounding;
    }
};

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

  private:
    void check(std::size_t channel) {
        if (!body_.gain_error.limited() && !body_.offset_error.limited()) return;
        const TipStep* tip = unit_.tips().step(channel, body_.reference);
        Level with, open;
        if (scatter_.known()) collect(channel, with, open);
        if (!tip || with.states == 0 || open.states == 0) {
            add_unjudged(findings_, place(channel, "gain error", "%"),
                         "The trims of " + unit_.place_of(channel) + " were not verified.");
            return;
        }
        add_check(findings_, unit_, place(channel, "gain error", "%"), gain_error(with, open, *tip),
                  limits_of(body_.gain_error));
        add_check(findings_, unit_, place(channel, "offset error", "counts"),
                  offset_error(channel, open), limits_of(body_.offset_error));
    }

    // The reference's states on this channel, and the open ones beside them.
    void collect(std::size_t channel, Level& with, Level& open) const {
        const std::size_t series = unit_.series_of(channel, 0);
        const double rounding = *statistics::rounding_left(scatter_.variance[series]);
        const auto is_reference = [&](std::size_t i) {
            const record::Situation& s = *states_[i].situation;
            return s.reference == body_.reference && concerns(s, channel);
        };
        const auto is_open = [&](std::size_t i) {
            return states_[i].situation->reference.empty() && states_[i].situation->pins_connected;
        };
        for (std::size_t i = 0; i < states_.size(); ++i) {
            const double variance = scatter_.variance[series] * scatter_.inflation[i] /
                                    static_cast<double>(states_[i].scans);
            if (is_reference(i)) with.add(states_[i].series[series].mean, variance);
            const bool beside =
                (i > 0 && is_reference(i - 1)) || (i + 1 < states_.size() && is_reference(i + 1));
            if (is_open(i) && beside) open.add(states_[i].series[series].mean, variance);
        }
        with.finish(rounding);
        open.finish(rounding);
    }

    [[nodiscard]] Measured gain_error(const Level& with, const Level& open,
                                      const TipStep& tip) const {
        const double promised = unit_.map().nominal_gain.value() * tip.value;
        const double change = with.mean - open.mean;
        const double readings = (with.variance + open.variance) / (promised * promised);
        const double step = tip.standard() / tip.value;
        const double variance = readings + step * step;
        return {100.0 * (change / promised - 1.0), 100.0 * std::sqrt(variance),
                degrees(variance, readings)};
    }

    [[nodiscard]] Measured offset_error(std::size_t channel, const Level& open) const {
        const double gain = unit_.map().nominal_gain.value();
        const TipPart* known = unit_.tips().part(channel);
        const TipPart part = known ? *known : TipPart{};
        const double fixture = gain * part.standard;
        const double variance = open.variance + fixture * fixture;
        return {open.mean - gain * part.value - unit_.map().nominal_offset.value(),
                std::sqrt(variance), degrees(variance, open.variance)};
    }

    // Welch-Satterthwaite: only the scatter's part has finite degrees of freedom.
    [[nodiscard]] double degrees(double all, double scatter) const {
        if (scatter <= 0.0) return std::numeric_limits<double>::infinity();
        return scatter_.degrees * (all / scatter) * (all / scatter);
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

void check_step(const Case& unit, const std::string& step, const language::VerifyStep& body,
                Findings& findings) {
    VerifyCheck(unit, step, body, findings).run();
    if (!body.finger) return;
    std::vector<std::string> keys;
    for (const language::Key& key : unit.map().keys) keys.push_back(key.name);
    check_touch_reports(unit, step, record::Stage::as_left, keys, findings);
}

}  // namespace padtrim::metrology
