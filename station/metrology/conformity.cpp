#include "station/metrology/conformity.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

namespace {

using record::Verdict;
using statistics::Checked;
using statistics::Flaw;
constexpr double unlimited = std::numeric_limits<double>::infinity();

bool is_number(const std::optional<double>& limit) {
    return !limit || std::isfinite(*limit);
}

// Probability beyond a limit that lies `distance` inside; both are of the upper tail, which keeps
// the digits of small probabilities.
double tail(double distance, const Measured& m) {
    const auto p = statistics::student_probability(-distance / m.standard, m.degrees);
    return p ? *p : std::nan("");  // the arguments were looked at before
}

std::optional<Flaw> flaw_of_rule(const Measured& m, double coverage_factor,
                                 const language::DecisionRule& rule) {
    if (!std::isfinite(coverage_factor)) return Flaw::not_finite;
    if (!(coverage_factor > 0.0)) return Flaw::not_positive;
    if (m.standard > 0.0 && m.degrees < fewest_degrees) return Flaw::too_few_points;
    if (rule.kind == language::DecisionKind::simple) return std::nullopt;
    if (!(rule.consumer_risk > 0.0 && rule.consumer_risk < 1.0)) return Flaw::out_of_domain;
    return std::nullopt;
}

// At a risk of 2.5 % the coverage factor itself is the guard band. Most values lie clear of it, and
// need no tail; `bands` is the distance inside over the expanded uncertainty.
std::optional<Verdict> clear_of_the_band(double bands, const Limits& limits) {
    constexpr double rounding = 1e-6;
    // So far inside, the tail beyond either limit is less than half of what it is at one band.
    if (bands > 1.5) return Verdict::pass;
    if (bands < -1.0 - rounding) return Verdict::fail;
    const bool alone = !limits.low || !limits.high;
    if (alone && bands > 1.0 + rounding) return Verdict::pass;
    const bool within = std::abs(bands) < 1.0 - rounding;
    return within && (alone || bands >= 0.0) ? std::optional(Verdict::inconclusive) : std::nullopt;
}

Verdict guarded(const Measured& m, const Limits& limits, double bands, double risk) {
    if (risk == 0.025) {
        if (const auto clear = clear_of_the_band(bands, limits)) return *clear;
    }
    const double above = limits.high ? tail(*limits.high - m.value, m) : 0.0;
    const double below = limits.low ? tail(m.value - *limits.low, m) : 0.0;
    // A rounding's width, so that a value on the guard band itself passes.
    const double on = risk * (1.0 + 1e-12);
    if (above + below <= on) return Verdict::pass;
    // A value within the limits is never proof of a bad unit, however wide its doubt.
    return 1.0 - above - below <= on && bands < 0.0 ? Verdict::fail : Verdict::inconclusive;
}

}  // namespace

double distance_inside(double value, const Limits& limits) {
    double distance = unlimited;
    if (limits.low) distance = std::min(distance, value - *limits.low);
    if (limits.high) distance = std::min(distance, *limits.high - value);
    return distance;
}

std::optional<Flaw> flaw_of(const Measured& measured, const Limits& limits) {
    if (!std::isfinite(measured.value) || !std::isfinite(measured.standard)) {
        return Flaw::not_finite;
    }
    if (measured.standard < 0.0) return Flaw::not_positive;
    if (!(measured.degrees > 0.0)) return Flaw::out_of_domain;
    if (!is_number(limits.low) || !is_number(limits.high)) return Flaw::not_finite;
    if (limits.low && limits.high && *limits.low > *limits.high) return Flaw::empty_interval;
    return std::nullopt;
}

Checked<double> conformance_probability(const Measured& measured, const Limits& limits) {
    if (const auto flaw = flaw_of(measured, limits)) return *flaw;
    if (measured.standard == 0.0) {
        return distance_inside(measured.value, limits) >= 0.0 ? 1.0 : 0.0;
    }
    const double above = limits.high ? tail(*limits.high - measured.value, measured) : 0.0;
    const double below = limits.low ? tail(measured.value - *limits.low, measured) : 0.0;
    return std::max(1.0 - above - below, 0.0);
}

Conformity decide(const Measured& measured, double coverage_factor, const Limits& limits,
                  const language::DecisionRule& rule) {
    auto flaw = flaw_of(measured, limits);
    if (!flaw) flaw = flaw_of_rule(measured, coverage_factor, rule);
    if (flaw) return {0.0, Verdict::no_verdict, flaw};
    if (!limits.limited()) return {1.0, Verdict::pass, {}};
    const double distance = distance_inside(measured.value, limits);
    const double expanded = coverage_factor * measured.standard;
    if (!(expanded > 0.0)) {
        return {distance >= 0.0 ? 1.0 : -1.0, distance >= 0.0 ? Verdict::pass : Verdict::fail, {}};
    }
    const double margin = distance / expanded;
    if (rule.kind == language::DecisionKind::simple) {
        return {margin, distance >= 0.0 ? Verdict::pass : Verdict::fail, {}};
    }
    return {margin, guarded(measured, limits, margin, rule.consumer_risk), {}};
}

}  // namespace padtrim::metrology
