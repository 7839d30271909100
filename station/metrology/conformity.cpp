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
constexpr double usual_risk = 0.025;  // each tail of 95 %

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

// Where the expanded uncertainty is that of the rule's own risk, it is the guard band. Most values
// lie clear of it, and need no tail; `bands` is the distance inside over the expanded uncertainty.
std::optional<Verdict> clear_of_the_band(double bands, const Limits& limits) {
    constexpr double rounding = 1e-6;
    // So far inside, the tail beyond either limit is less than half of what it is at one band.
    if (bands > 1.5) return Verdict::pass;
    if (bands < -1.0 - rounding) return Verdict::fail;
    const bool alone = !limits.low || !limits.high;
    if (alone && bands > 1.0 + rounding) return Verdict::pass;
    return std::abs(bands) < 1.0 - rounding ? std::optional(Verdict::inconclusive) : std::nullopt;
}

// Probabilities that the true value lies beyond each limit.
struct Tails {
    double above = 0.0, below = 0.0;
};

template <class TailsOf>
Verdict guarded(const Limits& limits, double bands, double risk, const TailsOf& tails_of) {
    if (risk == usual_risk) {
        if (const auto clear = clear_of_the_band(bands, limits)) return *clear;
    }
    const Tails tails = tails_of();
    // A rounding's width, so that a value on the guard band itself passes.
    const double on = risk * (1.0 + 1e-12);
    if (tails.above + tails.below <= on) return Verdict::pass;
    // Beyond one limit by its guard band: limits closer than the doubt prove nothing.
    const bool beyond = 1.0 - std::max(tails.above, tails.below) <= on;
    return beyond && bands < 0.0 ? Verdict::fail : Verdict::inconclusive;
}

Verdict by_limits_alone(double distance) {
    return distance >= 0.0 ? Verdict::pass : Verdict::fail;
}

}  // namespace

Checked<double> distance_inside(double value, const Limits& limits) {
    if (!std::isfinite(value) || !is_number(limits.low) || !is_number(limits.high)) {
        return Flaw::not_finite;
    }
    if (limits.low && limits.high && *limits.low > *limits.high) return Flaw::empty_interval;
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
        return *distance_inside(measured.value, limits) >= 0.0 ? 1.0 : 0.0;
    }
    const double above = limits.high ? tail(*limits.high - measured.value, measured) : 0.0;
    const double below = limits.low ? tail(measured.value - *limits.low, measured) : 0.0;
    return std::max(1.0 - above - below, 0.0);
}

namespace {

// Standard uncertainty where a limit is compared with.
double standard_at(double limit, const Measured& m, language::Doubt doubt) {
    if (doubt != language::Doubt::in_proportion || m.value == 0.0) return m.standard;
    return m.standard * std::max(1.0, std::abs(limit / m.value));
}

}  // namespace

Conformity decide(const Measured& measured, double coverage_factor, const Limits& limits,
                  const language::DecisionRule& rule, language::Doubt doubt) {
    auto flaw = flaw_of(measured, limits);
    if (!flaw) flaw = flaw_of_rule(measured, coverage_factor, rule);
    if (flaw) return {0.0, Verdict::no_verdict, 0.0, flaw};
    if (!limits.limited()) return {1.0, Verdict::pass, 0.0, {}};
    const double distance = *distance_inside(measured.value, limits);
    const double expanded = coverage_factor * measured.standard;
    if (!(expanded > 0.0)) {
        return {distance >= 0.0 ? 1.0 : -1.0, by_limits_alone(distance), 0.0, {}};
    }
    double margin = unlimited, low_standard = 0.0, high_standard = 0.0;
    if (limits.low) {
        low_standard = standard_at(*limits.low, measured, doubt);
        margin = (measured.value - *limits.low) / (coverage_factor * low_standard);
    }
    if (limits.high) {
        high_standard = standard_at(*limits.high, measured, doubt);
        margin =
            std::min(margin, (*limits.high - measured.value) / (coverage_factor * high_standard));
    }
    if (rule.kind == language::DecisionKind::simple) {
        return {margin, by_limits_alone(distance), expanded, {}};
    }
    const auto beyond = [&](double inside, double standard) {
        return tail(inside, {measured.value, standard, measured.degrees});
    };
    const auto tails_of = [&] {
        return Tails{limits.high ? beyond(*limits.high - measured.value, high_standard) : 0.0,
                     limits.low ? beyond(measured.value - *limits.low, low_standard) : 0.0};
    };
    return {margin, guarded(limits, margin, rule.consumer_risk, tails_of), expanded, {}};
}

Conformity decide_scatter(const Measured& measured, const Limits& limits,
                          const language::DecisionRule& rule) {
    auto flaw = flaw_of(measured, limits);
    if (!flaw) flaw = flaw_of_rule(measured, 1.0, rule);
    if (!flaw && !(measured.standard > 0.0 && std::isfinite(measured.degrees))) {
        flaw = Flaw::out_of_domain;
    }
    if (flaw) return {0.0, Verdict::no_verdict, 0.0, flaw};
    if (!limits.limited()) return {1.0, Verdict::pass, 0.0, {}};
    const double v = measured.degrees, s = measured.standard * std::sqrt(2.0 * v);
    const double distance = *distance_inside(s, limits);
    const bool high_is_near = limits.high && *limits.high - s == distance;
    // The deviation may be larger than seen where that matters, else smaller.
    const bool upward = high_is_near == (distance >= 0.0);
    const auto chi = statistics::chi_squared_quantile(upward ? usual_risk : 1.0 - usual_risk, v);
    if (!chi) return {0.0, Verdict::no_verdict, 0.0, chi.error()};
    const double expanded = s * std::abs(std::sqrt(v / *chi) - 1.0);
    const double margin = distance / expanded;
    if (rule.kind == language::DecisionKind::simple) {
        return {margin, by_limits_alone(*distance_inside(measured.value, limits)), expanded, {}};
    }
    // P(sigma < x): the variance is v s^2 over a chi-squared variable.
    const auto beyond = [&](double limit, bool above) {
        if (limit <= 0.0) return above ? 1.0 : 0.0;
        const auto p = statistics::chi_squared_probability(v * (s / limit) * (s / limit), v);
        return !p ? std::nan("") : above ? *p : 1.0 - *p;
    };
    const auto tails_of = [&] {
        return Tails{limits.high ? beyond(*limits.high, true) : 0.0,
                     limits.low ? beyond(*limits.low, false) : 0.0};
    };
    return {margin, guarded(limits, margin, rule.consumer_risk, tails_of), expanded, {}};
}

Conformity decide_check(language::Doubt doubt, const Measured& measured, double coverage_factor,
                        const Limits& limits, const language::DecisionRule& rule) {
    if (doubt == language::Doubt::of_scatter) return decide_scatter(measured, limits, rule);
    return decide(measured, coverage_factor, limits, rule, doubt);
}

language::DecisionRule rule_of(const language::Recipe& recipe, std::string_view step) {
    language::DecisionRule rule = recipe.decision;
    for (const language::Step& each : recipe.steps) {
        if (each.name == step && each.retries > 0) rule.consumer_risk /= each.retries + 1.0;
    }
    return rule;
}

language::DecisionRule rule_of_one_look(const language::Recipe& recipe, std::string_view step,
                                        std::string_view check) {
    language::DecisionRule rule = rule_of(recipe, step);
    if (check != "touch response") return rule;
    for (const language::Step& each : recipe.steps) {
        const auto* touch = std::get_if<language::TouchStep>(&each.body);
        if (touch && each.name == step && touch->looks > 1) rule.consumer_risk /= touch->looks;
    }
    return rule;
}

}  // namespace padtrim::metrology
