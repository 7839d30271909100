#include "station/metrology/conformity.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::metrology {

namespace {

using record::Verdict;
constexpr double unlimited = std::numeric_limits<double>::infinity();

double probability_below(double limit, const Measured& m) {
    const auto p = statistics::student_probability((limit - m.value) / m.standard, m.degrees);
    return p ? *p : 0.0;
}

// Both limits matter together only when the interval is a few uncertainties wide.
bool one_limit_decides(const Measured& m, const Limits& limits) {
    return !limits.low || !limits.high || *limits.high - *limits.low > 16.0 * m.standard;
}

// Distance, in standard uncertainties, that leaves `risk` outside.
double guard_factor(double risk, double degrees, double coverage_factor) {
    if (risk == 0.025) return coverage_factor;
    const auto z = statistics::student_quantile(1.0 - risk, degrees);
    return z ? *z : coverage_factor;
}

Verdict guarded(const Measured& m, double coverage_factor, const Limits& limits, double distance,
                double risk) {
    const double guard = guard_factor(risk, m.degrees, coverage_factor) * m.standard;
    // At twice the guard band each tail of any Student's t holds at most half the risk.
    if (distance >= 2.0 * guard) return Verdict::pass;
    if (one_limit_decides(m, limits)) {
        if (distance >= guard) return Verdict::pass;
        return distance <= -guard ? Verdict::fail : Verdict::inconclusive;
    }
    const double inside = conformance_probability(m, limits);
    if (inside >= 1.0 - risk) return Verdict::pass;
    // A value within the limits is never proof of a bad unit, however wide its doubt.
    return inside <= risk && distance < 0.0 ? Verdict::fail : Verdict::inconclusive;
}

}  // namespace

double distance_inside(double value, const Limits& limits) {
    double distance = unlimited;
    if (limits.low) distance = std::min(distance, value - *limits.low);
    if (limits.high) distance = std::min(distance, *limits.high - value);
    return distance;
}

double conformance_probability(const Measured& measured, const Limits& limits) {
    if (measured.standard <= 0.0) {
        return distance_inside(measured.value, limits) >= 0.0 ? 1.0 : 0.0;
    }
    const double above = limits.high ? probability_below(*limits.high, measured) : 1.0;
    const double below = limits.low ? probability_below(*limits.low, measured) : 0.0;
    return std::max(above - below, 0.0);  // what is no number stays none
}

Conformity decide(const Measured& measured, double coverage_factor, const Limits& limits,
                  const language::DecisionRule& rule) {
    const double distance = distance_inside(measured.value, limits);
    if (!std::isfinite(measured.value) || !std::isfinite(measured.standard)) return {};
    if (!limits.limited()) return {1.0, Verdict::pass};
    const double expanded = coverage_factor * measured.standard;
    if (!(expanded > 0.0)) {
        return {distance >= 0.0 ? 1.0 : -1.0, distance >= 0.0 ? Verdict::pass : Verdict::fail};
    }
    const double margin = distance / expanded;
    if (rule.kind == language::DecisionKind::simple) {
        return {margin, distance >= 0.0 ? Verdict::pass : Verdict::fail};
    }
    return {margin, guarded(measured, coverage_factor, limits, distance, rule.consumer_risk)};
}

std::optional<Verdict> decide_without_degrees(double value, double standard, double coverage_factor,
                                              const Limits& limits,
                                              const language::DecisionRule& rule) {
    const Measured measured{value, standard};
    const bool guarded_rule = rule.kind == language::DecisionKind::guarded;
    if (guarded_rule && standard > 0.0) {
        const double distance = distance_inside(value, limits);
        const bool clear = distance >= 2.0 * coverage_factor * standard;
        if (rule.consumer_risk != 0.025) return std::nullopt;
        if (!clear && !one_limit_decides(measured, limits)) return std::nullopt;
    }
    return decide(measured, coverage_factor, limits, rule).verdict;
}

}  // namespace padtrim::metrology
