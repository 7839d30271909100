// Gain, offset and non-linearity of every channel and frequency.
#include <cmath>

#include "db/statistics/resolution.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

bool holds_channel(const record::Situation& situation, std::size_t channel) {
    if (situation.channels.empty()) return true;
    for (const std::uint16_t c : situation.channels) {
        if (c == channel) return true;
    }
    return false;
}

bool usable(const record::Situation& s) {
    return s.pins_connected && !s.finger;
}

// Of the open states only those that bracket a reference on this channel: when channels are
// switched one after the other, the rest is drift of other times.
void keep_brackets(std::vector<LinePoint>& points, const std::vector<std::size_t>& at) {
    std::vector<LinePoint> kept;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const bool before = i + 1 < points.size() && points[i + 1].step && at[i + 1] == at[i] + 1;
        const bool after = i > 0 && points[i - 1].step && at[i - 1] + 1 == at[i];
        if (points[i].step || before || after) kept.push_back(points[i]);
    }
    points = std::move(kept);
}

// The states that concern one channel; a reference that the equipment record does not hold for it
// is reported in `problem`.
std::vector<LinePoint> points_of(const Case& unit, std::span<const StateMean> states,
                                 const Scatter& scatter, std::size_t channel, std::size_t series,
                                 LineProblem& problem) {
    std::vector<LinePoint> points;
    std::vector<std::size_t> taken_at;
    points.reserve(states.size());
    taken_at.reserve(states.size());
    for (std::size_t i = 0; i < states.size(); ++i) {
        const record::Situation& s = *states[i].situation;
        if (!usable(s)) continue;
        LinePoint point;
        if (!s.reference.empty()) {
            if (!holds_channel(s, channel)) continue;
            point.step = unit.tips().step(channel, s.reference);
            if (!point.step) {
                problem.what = "the equipment record has no step " + s.reference;
                continue;
            }
        }
        point.mean = states[i].series[series].mean;
        point.variance =
            scatter.variance[series] * scatter.inflation[i] / static_cast<double>(states[i].scans);
        point.at = states[i].at;
        points.push_back(point);
        taken_at.push_back(i);
    }
    keep_brackets(points, taken_at);
    return points;
}

FittedChannel fit_series(const Case& unit, std::span<const StateMean> states,
                         const Scatter& scatter, std::size_t channel, std::size_t frequency) {
    FittedChannel fitted{static_cast<int>(channel), static_cast<int>(frequency), {}, {}};
    const std::size_t series = unit.series_of(channel, frequency);
    const auto points = points_of(unit, states, scatter, channel, series, fitted.problem);
    if (!fitted.problem.what.empty()) return fitted;
    LineInput input;
    input.points = points;
    input.rounding =
        statistics::rounding_of_mean(statistics::noise_before_rounding(scatter.variance[series]));
    input.scatter_degrees = scatter.degrees;
    if (const TipPart* part = unit.tips().part(channel)) input.part = *part;
    fitted.line = fit_line(input, fitted.problem);
    return fitted;
}

record::ChannelLine line_of(const Case& unit, const FittedChannel& fitted) {
    const LineFit& fit = *fitted.line;
    record::ChannelLine line;
    line.channel = fitted.channel;
    line.frequency = fitted.frequency;
    line.key = unit.key_of(static_cast<std::size_t>(fitted.channel));
    line.gain = fit.gain;
    line.offset = fit.offset;
    line.gain_standard = std::sqrt(fit.covariance.gain);
    line.offset_standard = std::sqrt(fit.covariance.offset);
    line.covariance = fit.covariance.both;
    line.gain_expanded = unit.coverage_factor(fit.gain_degrees) * line.gain_standard;
    line.offset_expanded = unit.coverage_factor(fit.offset_degrees) * line.offset_standard;
    line.degrees_of_freedom = std::min(fit.gain_degrees, 1e9);
    return line;
}

void add_line_checks(const Case& unit, const std::string& step, const FittedChannel& fitted,
                     const record::ChannelLine& line, const language::GainOffsetStep& body,
                     Findings& findings) {
    const LineFit& fit = *fitted.line;
    const auto place = [&](const char* check, const char* symbol) {
        return CheckPlace{
            step,         check,          symbol,  Traceability::traceable, record::Stage::as_found,
            line.channel, line.frequency, line.key};
    };
    add_check(findings, unit, place("gain", "counts/pF"),
              {fit.gain, line.gain_standard, fit.gain_degrees}, limits_of(body.gain));
    add_check(findings, unit, place("offset", "counts"),
              {fit.offset, line.offset_standard, fit.offset_degrees}, limits_of(body.offset));
    if (fit.span <= 0.0) return;
    const double percent = 100.0 / fit.span;
    add_check(findings, unit, place("non-linearity", "%"),
              {fit.departure * percent, fit.departure_standard * percent, fit.scatter_degrees},
              limits_of_magnitude(body.non_linearity));
}

bool wants_checks(const language::GainOffsetStep& body) {
    return body.gain.limited() || body.offset.limited() || body.non_linearity.limited();
}

}  // namespace

std::vector<FittedChannel> fitted_channels(const Case& unit, const std::string& step) {
    const auto states = states_of(unit.observations(), step, record::Reading::raw, unit.series());
    const Scatter scatter = scatter_of(states);
    std::vector<FittedChannel> all;
    all.reserve(unit.series());
    for (std::size_t channel = 0; channel < unit.channels(); ++channel) {
        for (std::size_t frequency = 0; frequency < unit.frequencies(); ++frequency) {
            if (scatter.known()) {
                all.push_back(fit_series(unit, states, scatter, channel, frequency));
            } else {
                all.push_back({static_cast<int>(channel),
                               static_cast<int>(frequency),
                               {},
                               {"there are no repeated readings"}});
            }
        }
    }
    return all;
}

void check_step(const Case& unit, const std::string& step, const language::GainOffsetStep& body,
                Findings& findings) {
    for (const FittedChannel& fitted : fitted_channels(unit, step)) {
        if (fitted.line) {
            findings.lines.push_back(line_of(unit, fitted));
            add_line_checks(unit, step, fitted, findings.lines.back(), body, findings);
            continue;
        }
        if (!wants_checks(body)) continue;
        const auto channel = static_cast<std::size_t>(fitted.channel);
        add_unjudged(findings,
                     {step, "gain", "counts/pF", Traceability::traceable, record::Stage::as_found,
                      fitted.channel, fitted.frequency, unit.key_of(channel)},
                     "No line for " + unit.place_of(channel) + ": " + fitted.problem.what + ".");
    }
}

}  // namespace padtrim::metrology
