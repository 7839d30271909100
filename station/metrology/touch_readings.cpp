#include "station/metrology/touch_readings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "db/statistics/correlation.hpp"
#include "db/statistics/resolution.hpp"
#include "station/metrology/filter_memory.hpp"

namespace padtrim::metrology {

double touch_sign(const language::RegisterMap& map) {
    const double of_gain = map.nominal_gain.value() < 0.0 ? -1.0 : 1.0;
    return map.sensing == language::Sensing::mutual ? -of_gain : of_gain;
}

TouchReadings::TouchReadings(const Case& unit, const std::string& step)
    : unit_(unit),
      states_(states_of(unit.observations(), step, record::Reading::raw, unit.series())),
      scatter_(scatter_of(states_)),
      sign_(touch_sign(unit.map())) {}

std::optional<Press> TouchReadings::press_of(const language::Key& key) const {
    if (key.channels.empty() || key.channels.front() >= unit_.channels()) return std::nullopt;
    for (std::size_t i = 0; i < states_.size(); ++i) {
        const auto& finger = states_[i].situation->finger;
        if (!finger || !finger->touching || finger->key != key.name) continue;
        if (const auto lifted = lifted_before(i, key.name)) return Press{&key, i, *lifted};
    }
    return std::nullopt;
}

Measured TouchReadings::change(const Press& press, std::size_t series) const {
    const double moved = sign_ * (states_[press.touched].series[series].mean -
                                  states_[press.lifted].series[series].mean);
    const double variance = variance_of(press.touched, series) + variance_of(press.lifted, series);
    return {moved, std::sqrt(variance), scatter_.degrees};
}

std::uint16_t TouchReadings::strongest(const Press& press, std::size_t frequency) const {
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

double TouchReadings::peak_to_peak(const Press& press, std::size_t series) const {
    const auto width = [&](std::size_t state) {
        return states_[state].series[series].high - states_[state].series[series].low;
    };
    if (ended_early(press)) return std::max(1.0, width(press.lifted));
    return std::max({1.0, width(press.touched), width(press.lifted)});
}

std::size_t TouchReadings::scans(const Press& press) const {
    if (ended_early(press)) return states_[press.lifted].scans;
    return std::min(states_[press.touched].scans, states_[press.lifted].scans);
}

std::optional<std::size_t> TouchReadings::lifted_before(std::size_t touched,
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

double TouchReadings::variance_of(std::size_t state, std::size_t series) const {
    return variance_of_mean(series, states_[state].scans, scatter_.inflation[state]);
}

double TouchReadings::variance_of_mean(std::size_t series, std::size_t scans,
                                       double inflation) const {
    const double one = scatter_.variance[series];
    return one * inflation / static_cast<double>(scans) +
           statistics::rounding_of_mean(statistics::noise_before_rounding(one));
}

Measured TouchReadings::change_after(const Press& press, std::size_t series,
                                     std::size_t scans) const {
    const StateMean& whole = states_[press.touched];
    record::Readings first{whole.readings->step, whole.readings->situation, {}};
    const auto& all = whole.readings->scans;
    first.scans.assign(all.begin(),
                       all.begin() + static_cast<std::ptrdiff_t>(std::min(scans, all.size())));
    StateMean part = mean_of(first, unit_.series());
    if (whole.memory > 0.0) forget_state_before(part, {whole.memory, whole.memory_standard});
    const double inflation = statistics::mean_inflation(part.scans, scatter_.correlation);
    const double variance =
        variance_of_mean(series, part.scans, inflation) + variance_of(press.lifted, series);
    const double moved =
        sign_ * (part.series[series].mean - states_[press.lifted].series[series].mean);
    return {moved, std::sqrt(variance), scatter_.degrees};
}

}  // namespace padtrim::metrology
