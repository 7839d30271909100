// Gain, offset and non-linearity of every channel and frequency.
#include <algorithm>
#include <cmath>

#include "station/metrology/line_readings.hpp"
#include "station/metrology/settling.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Traceability;

FittedChannel fit_series(const Case& unit, std::span<const StateMean> states,
                         const Scatter& scatter, std::size_t channel, std::size_t frequency) {
    FittedChannel fitted{static_cast<int>(channel), static_cast<int>(frequency), {}, {}};
    const LineReadings readings = line_readings(unit, states, scatter, channel, frequency);
    fitted.problem = readings.problem;
    if (fitted.problem.what.empty()) fitted.line = fit_line(readings.input(), fitted.problem);
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
    // The joint region is of both: it has the degrees of the one that is known less.
    line.degrees_of_freedom = std::min({fit.gain_degrees, fit.offset_degrees, 1e9});
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

void add_settling_checks(const Case& unit, const std::string& step,
                         const language::GainOffsetStep& body, Findings& findings) {
    if (!body.settling.limited()) return;
    const auto settling = settling_of(unit, step);
    for (std::size_t i = 0; i < unit.series(); ++i) {
        const std::size_t channel = i / unit.frequencies();
        CheckPlace place{step,
                         "settling",
                         "counts",
                         Traceability::indication,
                         record::Stage::as_found,
                         static_cast<int>(channel),
                         static_cast<int>(i % unit.frequencies()),
                         unit.key_of(channel)};
        if (!settling[i])
            add_unjudged(
                findings, std::move(place),
                "Whether the contacts of " + unit.place_of(channel) + " had settled was not read.");
        else
            add_check(findings, unit, std::move(place), *settling[i],
                      limits_of_magnitude(body.settling));
    }
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
            all.push_back(fit_series(unit, states, scatter, channel, frequency));
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
    add_settling_checks(unit, step, body, findings);
}

}  // namespace padtrim::metrology
