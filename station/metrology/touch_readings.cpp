#include "station/metrology/touch_readings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "db/statistics/correlation.hpp"
#include "db/statistics/resolution.hpp"
#include "station/metrology/filter_memory.hpp"

namespace padtrim::metrology {

namespace {

double rounding_of(double variance) {
    return *statistics::rounding_left(variance);
}

}  // namespace

double touch_sign(const language::RegisterMap& map) {
    const double of_gain = map.nominal_gain.value() < 0.0 ? -1.0 : 1.0;
    return map.sensing == language::Sensing::mutual ? -of_gain : of_gain;
}

TouchReadings::TouchReadings(const Case& unit, const std::string& step)
    : unit_(unit),
      states_(states_of(unit.observations(), step, record::Reading::raw, unit.series())),
      scatter_(scatter_of(states_)),
      sign_(touch_sign(unit.map())) {
    for (const StateMean& state : states_) memory_ = std::max(memory_, state.memory);
}

std::optional<Press> TouchReadings::press_of(const language::Key& key) const {
    if (key.channels.empty() || key.channels.front() >= unit_.channels()) return std::nullopt;
    for (std::size_t i = 0; i < states_.size(); ++i) {
        const auto& finger = states_[i].situation->finger;
        if (!finger || !finger->touching || finger->key != key.name) continue;
        if (const auto lifted = lifted_before(i, key.name)) return Press{&key, i, *lifted};
    }
    return std::nullopt;
}

Budget TouchReadings::budget(const Press& press, std::size_t series) const {
    const Change change = change_of(states_[press.touched], press, series);
    return budget_of("touch response", "counts", change.value, change.parts);
}

Measured TouchReadings::change(const Press& press, std::size_t series) const {
    return measured(change_of(states_[press.touched], press, series));
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

// Fingers bring noise: a touched state's scatter is its own. Lifted states share theirs.
TouchReadings::Doubt TouchReadings::doubt_touched(const StateMean& state,
                                                  std::size_t series) const {
    const double n = static_cast<double>(state.scans);
    const double inflation = statistics::mean_inflation(state.scans, scatter_.correlation);
    const double divisor = n - inflation;
    if (!(divisor > 0.0)) return doubt_pooled(series, state.scans, inflation);
    const double one = state.series[series].squares / divisor;
    const double r2 = scatter_.correlation * scatter_.correlation;
    return {one * inflation / n, divisor * (1.0 - r2) / (1.0 + r2), rounding_of(one)};
}

TouchReadings::Doubt TouchReadings::doubt_pooled(std::size_t series, std::size_t scans,
                                                 double inflation) const {
    return {scatter_.variance[series] * inflation / static_cast<double>(scans), scatter_.degrees,
            scatter_.rounding[series]};
}

// Too short to have the filter's memory taken out, among states that had.
bool TouchReadings::remembers(const StateMean& state) const {
    return memory_ > 0.0 && !(state.memory > 0.0);
}

TouchReadings::Change TouchReadings::change_of(const StateMean& touched, const Press& press,
                                               std::size_t series) const {
    const StateMean& lifted = states_[press.lifted];
    const SeriesMean &up = lifted.series[series], &down = touched.series[series];
    const Doubt of_touched = doubt_touched(touched, series);
    const Doubt of_lifted = doubt_pooled(series, lifted.scans, scatter_.inflation[press.lifted]);
    // An error of the memory moves both. A state too short to have it taken out knows nothing.
    const bool unknown = remembers(touched) || remembers(lifted);
    const double memory = unknown ? std::numeric_limits<double>::infinity()
                                  : down.per_memory * touched.memory_standard -
                                        up.per_memory * lifted.memory_standard;
    const auto scatter = [&](const char* name, const Doubt& doubt) {
        return Part{name,
                    "counts",
                    0.0,
                    std::sqrt(doubt.scatter),
                    1.0,
                    doubt.degrees,
                    Evaluation::type_a,
                    InputShape::student};
    };
    const auto rounding = [&](const char* name, const Doubt& doubt) {
        Part part{name, "counts", 0.0, std::sqrt(doubt.rounding)};
        part.shape = InputShape::rectangular;
        return part;
    };
    return {sign_ * (down.mean - up.mean),
            {{scatter("scatter of readings, touched", of_touched),
              scatter("scatter of readings, lifted", of_lifted),
              rounding("whole counts, touched", of_touched),
              rounding("whole counts, lifted", of_lifted),
              {"memory of the product's filter", "counts", 0.0, std::abs(memory)}}}};
}

Measured TouchReadings::measured(const Change& change) const {
    const Measured m = measured_of(change.value, change.parts);
    return std::isfinite(m.standard) ? m : Measured{m.value, m.standard, scatter_.degrees};
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
    return measured(change_of(part, press, series));
}

}  // namespace padtrim::metrology
