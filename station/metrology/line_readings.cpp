#include "station/metrology/line_readings.hpp"

#include <utility>

#include <boost/container/small_vector.hpp>

namespace padtrim::metrology {

namespace {

bool usable(const record::Situation& s) {
    return s.pins_connected && !s.finger;
}

// Of the open states only those that bracket a reference on this channel: when channels are
// switched one after the other, the rest is drift of other times.
void keep_brackets(std::vector<LinePoint>& points, std::span<const std::size_t> at) {
    const auto stays = [&](std::size_t i) {
        const bool before = i + 1 < points.size() && points[i + 1].step && at[i + 1] == at[i] + 1;
        const bool after = i > 0 && points[i - 1].step && at[i - 1] + 1 == at[i];
        return points[i].step || before || after;
    };
    std::size_t first = 0;
    while (first < points.size() && stays(first)) ++first;
    if (first == points.size()) return;
    std::vector<LinePoint> kept(points.begin(),
                                points.begin() + static_cast<std::ptrdiff_t>(first));
    for (std::size_t i = first; i < points.size(); ++i)
        if (stays(i)) kept.push_back(points[i]);
    points = std::move(kept);
}

// The states that concern one channel; a reference that the equipment record does not hold for it
// is reported in `problem`.
std::vector<LinePoint> points_of(const Case& unit, std::span<const StateMean> states,
                                 const Scatter& scatter, std::size_t channel, std::size_t series,
                                 LineProblem& problem) {
    std::vector<LinePoint> points;
    boost::container::small_vector<std::size_t, 16> taken_at;
    points.reserve(states.size());
    taken_at.reserve(states.size());
    for (std::size_t i = 0; i < states.size(); ++i) {
        const record::Situation& s = *states[i].situation;
        if (!usable(s)) continue;
        LinePoint point;
        if (!s.reference.empty()) {
            if (!concerns(s, channel)) continue;
            point.step = unit.tips().step(channel, s.reference);
            if (!point.step) {
                problem.what = "the equipment record has no step " + s.reference;
                continue;
            }
        }
        point.mean = states[i].series[series].mean;
        point.variance = scatter.of_mean(states[i], i, series);
        point.at = states[i].at;
        point.memory = states[i].by_memory(series);
        points.push_back(point);
        taken_at.push_back(i);
    }
    keep_brackets(points, {taken_at.data(), taken_at.size()});
    return points;
}

}  // namespace

LineReadings line_readings(const Case& unit, std::span<const StateMean> states,
                           const Scatter& scatter, std::size_t channel, std::size_t frequency) {
    LineReadings readings;
    if (!scatter.known()) {
        readings.problem.what = "there are no repeated readings";
        return readings;
    }
    const std::size_t series = unit.series_of(channel, frequency);
    readings.points = points_of(unit, states, scatter, channel, series, readings.problem);
    readings.rounding = scatter.rounding[series];
    readings.scatter_degrees = scatter.degrees;
    readings.part = unit.tips().part_or_none(channel);
    readings.temperature = unit.tips().temperature();
    return readings;
}

}  // namespace padtrim::metrology
