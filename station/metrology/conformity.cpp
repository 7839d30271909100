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

// Both tails of two degrees of freedom, in closed form, bound those of any more.
bool inside_at_any_degrees(double z, double risk) {
    static_assert(fewest_degrees == 2.0);
    return z > 0.0 && std::isfinite(z) && 1.0 - z / std::sqrt(z * z + 2.0) <= risk;
}

Verdict guarded(const Measured& m, const Limits& limits, double distance, double risk) {
    if (inside_at_any_degrees(distance / m.standard, risk)) return Verdict::pass;
    const double above = limits.high ? tail(*limits.high - m.value, m) : 0.0;
    const double below = limits.low ? tail(m.value - *limits.low, m) : 0.0;
    // A rounding's width, so that a value on the guard band itself passes.
    const double on = risk * (1.0 + 1e-12);
    if (above + below <= on) return Verdict::pass;
    // A value within the limits is never proof of a bad unit, however wide its doubt.
    return 1.0 - above - below <= on && distance < 0.0 ? Verdict::fail : Verdict::inconclusive;
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
    return {margin, guarded(measured, limits, distance, rule.consumer_risk), {}};
}

namespace {

// Degrees of freedom whose 95 % coverage factor this is, by halving on the scale of 1/degrees.
std::optional<double> degrees_of_factor(double factor) {
    double many = 0.0, few = 1.0 / fewest_degrees;  // 1/degrees
    const auto factor_at = [](double inverse) {
        const auto k = statistics::coverage_factor(0.95, inverse > 0.0 ? 1.0 / inverse : unlimited);
        return k ? *k : std::nan("");
    };
    if (!(factor >= 0.999999 * factor_at(many) && factor <= 1.000001 * factor_at(few))) {
        return std::nullopt;
    }
    for (int i = 0; i < 50; ++i) {
        const double middle = 0.5 * (many + few);
        (factor_at(middle) < factor ? many : few) = middle;
    }
    return 1.0 / few;
}

// Beyond a limit `bands` coverage factors away lies at most this, for any degrees of freedom: among
// distributions that agree at their 97.5 % quantile, that of two degrees has the heaviest tail.
double tail_at_any_degrees(double bands) {
    constexpr double factor_of_two_degrees = 4.302652729911275;
    const double z = bands * factor_of_two_degrees;
    return 0.5 * (1.0 - z / std::sqrt(z * z + 2.0));
}

// At 2.5 % the coverage factor is the guard band of a limit that decides alone. Well off that band
// no degrees of freedom say otherwise; most values are.
std::optional<Verdict> clear_of_the_band(const Measured& m, double coverage_factor,
                                         const Limits& limits) {
    const double band = coverage_factor * m.standard;
    const double low = limits.low ? (m.value - *limits.low) / band : unlimited;
    const double high = limits.high ? (*limits.high - m.value) / band : unlimited;
    const double near = std::min(low, high), far = std::max(low, high);
    if (near < -1.05) return Verdict::fail;
    if (near > 1.0) {
        const double beyond =
            tail_at_any_degrees(near) + (std::isfinite(far) ? tail_at_any_degrees(far) : 0.0);
        return beyond < 0.0249999 ? std::optional(Verdict::pass) : std::nullopt;
    }
    if (near >= 0.95 || near <= -0.95) return std::nullopt;
    const bool alone = !std::isfinite(far) || far > 30.0;
    return near >= 0.0 || alone ? std::optional(Verdict::inconclusive) : std::nullopt;
}

}  // namespace

std::optional<Verdict> decide_without_degrees(double value, double standard, double coverage_factor,
                                              const Limits& limits,
                                              const language::DecisionRule& rule) {
    Measured measured{value, standard};
    const double z = distance_inside(value, limits) / standard;
    if (rule.kind == language::DecisionKind::guarded && standard > 0.0 &&
        !inside_at_any_degrees(z, rule.consumer_risk)) {
        if (rule.consumer_risk == 0.025 && coverage_factor > 1.95 && coverage_factor < 4.31) {
            const auto clear = clear_of_the_band(measured, coverage_factor, limits);
            if (clear) return clear;
        }
        const auto degrees = degrees_of_factor(coverage_factor);
        if (!degrees) return std::nullopt;
        measured.degrees = *degrees;
    }
    return decide(measured, coverage_factor, limits, rule).verdict;
}

}  // namespace padtrim::metrology
