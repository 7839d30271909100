// Touch: response, crosstalk and signal-to-noise of each key under the dummy finger.
//
//   response        = mean(touched) - mean(lifted before), on the key's most responsive channel
//   crosstalk       = largest change on a watched neighbour / response
//   signal-to-noise = response / peak-to-peak noise, of the noisier of touched and lifted
//                     (common practice, no source)
//
// The response is comparable only (held by check standards), the ratios are indications.
#include <algorithm>
#include <cmath>
#include <utility>

#include "db/statistics/range.hpp"
#include "station/metrology/look_rule.hpp"
#include "station/metrology/step_checks.hpp"
#include "station/metrology/touch_readings.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

class TouchCheck {
  public:
    TouchCheck(const Case& unit, const std::string& step, const language::TouchStep& body,
               Findings& findings)
        : unit_(unit), step_(step), body_(body), findings_(findings), readings_(unit, step) {}

    void run(const language::Key& key) {
        const auto press = readings_.known() ? readings_.press_of(key) : std::nullopt;
        if (!press) {
            add_unjudged(findings_, place(key, -1, 0, "touch response", "counts"),
                         "The touch of " + unit_.place_of_key(key.name) + " was not read.");
            return;
        }
        for (std::size_t f = 0; f < unit_.frequencies(); ++f) check(*press, f);
    }

  private:
    void check(const Press& press, std::size_t frequency) {
        const std::uint16_t channel = readings_.strongest(press, frequency);
        const std::size_t series = unit_.series_of(channel, frequency);
        const Measured response = readings_.change(press, series);
        CheckPlace where = place(*press.key, channel, frequency, "touch response", "counts");
        where.traceability = Traceability::comparable;
        if (body_.looks > 1) {
            check_in_looks(press, series, std::move(where), response);
        } else {
            add_check(findings_, unit_, std::move(where), response, limits_of(body_.response));
        }
        check_crosstalk(press, channel, frequency, response);
        check_signal_to_noise(press, channel, frequency, response);
    }

    // The looks spend the risk together, so the rule for all readings at once does not apply. Where
    // reading ended early and nothing is certain, the limits are not those that ended it.
    void check_in_looks(const Press& press, std::size_t series, CheckPlace where,
                        const Measured& response) {
        const Limits limits = unit_.limits_at(where.step, where.check, where.key, where.channel,
                                              limits_of(body_.response));
        const LookRule rule(body_, rule_of(unit_.plan().recipe, step_), limits);
        const std::size_t taken = readings_.scans_touched(press);
        switch (rule.decided(readings_, press, series)) {
            case LimitDecision::inside:
                add_decided(findings_, unit_, std::move(where), response, limits,
                            record::Verdict::pass, {});
                return;
            case LimitDecision::outside:
                add_decided(findings_, unit_, std::move(where), response, limits,
                            record::Verdict::fail, {});
                return;
            case LimitDecision::undetermined:
                break;
        }
        std::string note;
        if (!rule.used_up(taken)) {
            note = "Touch response at " + unit_.place_of_key(press.key->name) +
                   " is undetermined after " + std::to_string(taken) + " of " +
                   std::to_string(body_.scans) + " scans, which do not suffice for these limits.";
        } else if (unit_.plan().recipe.decision.kind == language::DecisionKind::simple) {
            add_check(findings_, unit_, std::move(where), response, limits);
            return;
        }
        add_decided(findings_, unit_, std::move(where), response, limits,
                    record::Verdict::inconclusive, std::move(note));
    }

    void check_crosstalk(const Press& press, std::uint16_t channel, std::size_t frequency,
                         const Measured& response) {
        if (!body_.crosstalk.limited()) return;
        CheckPlace where = place(*press.key, channel, frequency, "crosstalk", "%");
        // A ratio to no response says nothing; the response's own limit speaks.
        if (response.value <= 3.0 * response.standard) {
            add_unjudged(findings_, std::move(where),
                         "Crosstalk of " + unit_.place_of_key(press.key->name) +
                             " cannot be formed: the key itself does not respond.");
            return;
        }
        Measured most{0.0, 0.0, response.degrees};
        int mover = -1;
        for (const std::string& name : press.key->neighbours) {
            const language::Key* neighbour = unit_.key_named(name);
            if (!neighbour) continue;
            for (const std::uint16_t other : neighbour->channels) {
                if (other >= unit_.channels() || other == channel) continue;
                const Measured moved = readings_.change(press, unit_.series_of(other, frequency));
                if (mover >= 0 && std::abs(moved.value) <= most.value) continue;
                most = {std::abs(moved.value), moved.standard, moved.degrees};
                mover = other;
            }
        }
        if (mover < 0) return;
        Finding* added = add_check(findings_, unit_, std::move(where), ratio(most, response, 100.0),
                                   limits_of_magnitude(body_.crosstalk));
        if (added) added->other_channel = mover;
    }

    void check_signal_to_noise(const Press& press, std::uint16_t channel, std::size_t frequency,
                               const Measured& response) {
        const std::size_t series = unit_.series_of(channel, frequency);
        const double width = readings_.peak_to_peak(press, series);
        const auto scans = readings_.scans(press);
        const auto spread = statistics::range_of_normal(scans);
        const double relative = spread ? spread->deviation / spread->mean : 1.0;
        const Measured noise{width, width * relative, response.degrees};
        Finding* added = add_check(findings_, unit_,
                                   place(*press.key, channel, frequency, "signal-to-noise", "1"),
                                   ratio(response, noise, 1.0), limits_of(body_.signal_to_noise));
        if (added && !added->check.note.empty()) {
            added->check.note +=
                " Peak-to-peak noise " + figure(width) + " counts over " + std::to_string(scans) +
                (readings_.ended_early(press) ? " scans, lifted."
                                              : " scans, the noisier of touched and lifted.");
        }
    }

    static Measured ratio(const Measured& above, const Measured& below, double scale) {
        const double value = above.value / below.value;
        const double own = above.standard / below.value;
        const double of_divisor = value * below.standard / below.value;
        return {scale * value, scale * std::sqrt(own * own + of_divisor * of_divisor),
                above.degrees};
    }

    [[nodiscard]] CheckPlace place(const language::Key& key, int channel, std::size_t frequency,
                                   const char* check, const char* unit) const {
        return {step_,
                check,
                unit,
                Traceability::indication,
                record::Stage::as_found,
                channel,
                static_cast<int>(frequency),
                key.name};
    }

    const Case& unit_;
    const std::string& step_;
    const language::TouchStep& body_;
    Findings& findings_;
    TouchReadings readings_;
};

std::vector<std::string> keys_of(const Case& unit, const language::TouchStep& body) {
    if (!body.keys.empty()) return body.keys;
    std::vector<std::string> all;
    for (const language::Key& key : unit.map().keys) all.push_back(key.name);
    return all;
}

}  // namespace

void check_step(const Case& unit, const std::string& step, const language::TouchStep& body,
                Findings& findings) {
    const auto keys = keys_of(unit, body);
    TouchCheck check(unit, step, body, findings);
    const bool wanted =
        body.response.limited() || body.crosstalk.limited() || body.signal_to_noise.limited();
    for (const std::string& name : keys) {
        const language::Key* key = unit.key_named(name);
        if (wanted && key) check.run(*key);
    }
    check_touch_reports(unit, step, record::Stage::as_found, keys, findings);
}

std::vector<CheckBudget> touch_budgets(const Case& unit, const std::string& step) {
    const TouchReadings readings(unit, step);
    std::vector<CheckBudget> budgets;
    for (const language::Key& key : unit.map().keys) {
        const auto press = readings.known() ? readings.press_of(key) : std::nullopt;
        for (std::size_t f = 0; press && f < unit.frequencies(); ++f) {
            const std::uint16_t channel = readings.strongest(*press, f);
            Budget budget = readings.budget(*press, unit.series_of(channel, f));
            budgets.push_back({step, key.name, channel, static_cast<int>(f), std::move(budget)});
        }
    }
    return budgets;
}

std::vector<KeyResponse> key_responses(const Case& unit, const std::string& step,
                                       std::size_t frequency) {
    const TouchReadings readings(unit, step);
    std::vector<KeyResponse> responses;
    if (!readings.known()) return responses;
    for (const language::Key& key : unit.map().keys) {
        const auto press = readings.press_of(key);
        if (!press) continue;
        const std::uint16_t channel = readings.strongest(*press, frequency);
        responses.push_back(
            {key.name, channel, readings.change(*press, unit.series_of(channel, frequency))});
    }
    return responses;
}

}  // namespace padtrim::metrology
