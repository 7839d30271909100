// Touch: response, crosstalk and signal-to-noise of each key under the dummy finger, and what the
// product itself reports.
//
//   response        = mean(touched) - mean(lifted before), on the key's most responsive channel
//   crosstalk       = largest change on a watched neighbour / response
//   signal-to-noise = response / peak-to-peak noise, of the noisier of touched and lifted
//
// The response is comparable only (held by check standards), the ratios are indications. A finger
// lifts the counts of a unit with positive gain, and lowers those of one with negative gain.
#include <algorithm>
#include <cmath>

#include "db/statistics/range.hpp"
#include "db/statistics/resolution.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

// One key as it was touched: indices into the step's states.
struct Press {
    const language::Key* key = nullptr;
    std::size_t touched = 0, lifted = 0;
};

class TouchReadings {
  public:
    TouchReadings(const Case& unit, const std::string& step)
        : unit_(unit),
          states_(states_of(unit.observations(), step, record::Reading::raw, unit.series())),
          scatter_(scatter_of(states_)),
          sign_(unit.map().nominal_gain.value() < 0.0 ? -1.0 : 1.0) {}

    [[nodiscard]] bool known() const { return scatter_.known(); }

    [[nodiscard]] std::optional<Press> press_of(const language::Key& key) const {
        for (std::size_t i = 0; i < states_.size(); ++i) {
            const auto& finger = states_[i].situation->finger;
            if (!finger || !finger->touching || finger->key != key.name) continue;
            if (const auto lifted = lifted_before(i, key.name)) return Press{&key, i, *lifted};
        }
        return std::nullopt;
    }

    [[nodiscard]] Measured change(const Press& press, std::size_t series) const {
        const double moved = sign_ * (states_[press.touched].series[series].mean -
                                      states_[press.lifted].series[series].mean);
        const double variance =
            variance_of(press.touched, series) + variance_of(press.lifted, series);
        return {moved, std::sqrt(variance), scatter_.degrees};
    }

    [[nodiscard]] std::uint16_t strongest(const Press& press, std::size_t frequency) const {
        std::uint16_t best = press.key->channels.front();
        double most = -std::numeric_limits<double>::infinity();
        for (const std::uint16_t channel : press.key->channels) {
            if (channel >= unit_.channels()) continue;
            const double moved = change(press, unit_.series_of(channel, frequency)).value;
            if (moved > most) best = channel;
            most = std::max(most, moved);
        }
        return best;
    }

    // Peak-to-peak of the noisier state; quiet counts still have the width of one.
    [[nodiscard]] double peak_to_peak(const Press& press, std::size_t series) const {
        const auto width = [&](std::size_t state) {
            return states_[state].series[series].high - states_[state].series[series].low;
        };
        return std::max({1.0, width(press.touched), width(press.lifted)});
    }
    [[nodiscard]] std::size_t scans(const Press& press) const {
        return std::min(states_[press.touched].scans, states_[press.lifted].scans);
    }

  private:
    // With the finger above this key, or else above anything.
    [[nodiscard]] std::optional<std::size_t> lifted_before(std::size_t touched,
                                                           const std::string& key) const {
        std::optional<std::size_t> any;
        for (std::size_t i = touched; i-- > 0;) {
            const auto& finger = states_[i].situation->finger;
            if (finger && finger->touching) continue;
            if (finger && finger->key == key) return i;
            if (!any) any = i;
        }
        return any;
    }
    [[nodiscard]] double variance_of(std::size_t state, std::size_t series) const {
        const double one = scatter_.variance[series];
        return one * scatter_.inflation[state] / static_cast<double>(states_[state].scans) +
               statistics::rounding_of_mean(statistics::noise_before_rounding(one));
    }

    const Case& unit_;
    std::vector<StateMean> states_;
    Scatter scatter_;
    double sign_;
};

class TouchCheck {
  public:
    TouchCheck(const Case& unit, const std::string& step, const language::TouchStep& body,
               Findings& findings)
        : unit_(unit), step_(step), body_(body), findings_(findings), readings_(unit, step) {}

    void run(const language::Key& key) {
        const auto press = readings_.known() ? readings_.press_of(key) : std::nullopt;
        if (!press || key.channels.empty() || key.channels.front() >= unit_.channels()) {
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
        add_check(findings_, unit_, std::move(where), response, limits_of(body_.response));
        check_crosstalk(press, channel, frequency, response);
        check_signal_to_noise(press, channel, frequency, response);
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
            added->check.note += " Peak-to-peak noise " + figure(width) + " counts over " +
                                 std::to_string(scans) +
                                 " scans, the noisier of touched and lifted.";
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

// "reports nothing", or "reports key 2 and key 4".
std::string reported_text(const Case& unit, const record::TouchReport& report) {
    std::string text;
    const auto& keys = unit.map().keys;
    for (std::size_t i = 0; i < keys.size() && i < report.reported.size(); ++i) {
        if (!report.reported[i]) continue;
        text += (text.empty() ? "" : " and ") + unit.place_of_key(keys[i].name);
    }
    return "reports " + (text.empty() ? "nothing" : text);
}

bool reports_only(const Case& unit, const record::TouchReport& report, const std::string& key) {
    const auto& keys = unit.map().keys;
    if (report.reported.size() < keys.size()) return false;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (report.reported[i] != (keys[i].name == key)) return false;
    }
    return true;
}

bool touches(const record::TouchReport& report, const std::string& key) {
    return report.finger && report.finger->touching && report.finger->key == key;
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
    check_touch_reports(unit, step, keys, findings);
}

void check_touch_reports(const Case& unit, const std::string& step,
                         const std::vector<std::string>& keys, Findings& findings) {
    const auto place = [&](const char* check, const std::string& key) {
        return CheckPlace{step, check, "1", Traceability::indication, record::Stage::as_found,
                          -1,   -1,    key};
    };
    const auto& reports = unit.observations().touch_reports;
    for (const std::string& key : keys) {
        const auto found = std::find_if(reports.begin(), reports.end(), [&](const auto& report) {
            return report.step == step && touches(report, key);
        });
        if (found == reports.end()) {
            add_unjudged(findings, place("touch report", key),
                         "The product was not asked about " + unit.place_of_key(key) + ".");
            continue;
        }
        add_condition(findings, place("touch report", key), reports_only(unit, *found, key),
                      "Touched at " + unit.place_of_key(key) + ", the product " +
                          reported_text(unit, *found) + ".");
    }
    const record::TouchReport* lifted = nullptr;
    for (const record::TouchReport& report : reports) {
        if (report.step != step || (report.finger && report.finger->touching)) continue;
        if (!lifted || !reports_only(unit, report, "")) lifted = &report;
    }
    if (!lifted) return;
    add_condition(findings, place("rest report", ""), reports_only(unit, *lifted, ""),
                  "With the finger lifted the product " + reported_text(unit, *lifted) + ".");
}

std::vector<KeyResponse> key_responses(const Case& unit, const std::string& step,
                                       std::size_t frequency) {
    const TouchReadings readings(unit, step);
    std::vector<KeyResponse> responses;
    if (!readings.known()) return responses;
    for (const language::Key& key : unit.map().keys) {
        const auto press = readings.press_of(key);
        if (!press || key.channels.empty() || key.channels.front() >= unit.channels()) continue;
        const std::uint16_t channel = readings.strongest(*press, frequency);
        responses.push_back(
            {key.name, channel, readings.change(*press, unit.series_of(channel, frequency))});
    }
    return responses;
}

}  // namespace padtrim::metrology
