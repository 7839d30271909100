// Conformity: what a value with its doubt says about a limit (JCGM 106; ISO 14253-1 rule).
//
// Pure and thread safe. All numbers are in the limit's own unit. The state of knowledge about the
// true value is Student's t around the measured one (normal for infinite degrees of freedom).
#pragma once

#include <limits>
#include <optional>
#include <string_view>

#include "db/record/unit_result.hpp"
#include "db/statistics/flaw.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/step_declarations.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::metrology {

// A measured value with its standard uncertainty and what is known of that uncertainty.
struct Measured {
    double value = 0.0;
    double standard = 0.0;
    double degrees = std::numeric_limits<double>::infinity();
};

struct Limits {
    std::optional<double> low, high;
    [[nodiscard]] bool limited() const { return low.has_value() || high.has_value(); }
};
template <class Q>
[[nodiscard]] Limits limits_of(const Interval<Q>& interval) {
    Limits limits;
    if (interval.low) limits.low = interval.low->value();
    if (interval.high) limits.high = interval.high->value();
    return limits;
}
// Of a quantity that cannot be negative: a lower limit of 0 or less can never be missed.
template <class Q>
[[nodiscard]] Limits limits_of_magnitude(const Interval<Q>& interval) {
    Limits limits = limits_of(interval);
    if (limits.low && *limits.low <= 0.0) limits.low.reset();
    return limits;
}

// Signed distance to the nearest limit, inside positive; infinite without limits. Flaws:
// not_finite, empty_interval (low above high).
[[nodiscard]] statistics::Checked<double> distance_inside(double value, const Limits& limits);

// Below so many degrees of freedom Student's t has no variance: the readings say nothing of their
// own scatter, and no expanded uncertainty is stated.
inline constexpr double fewest_degrees = 2.0;

// What forbids a decision: not_finite, not_positive (a negative uncertainty), out_of_domain
// (degrees that are no positive number), empty_interval (low above high).
[[nodiscard]] std::optional<statistics::Flaw> flaw_of(const Measured& measured,
                                                      const Limits& limits);

// P(true value inside), JCGM 106 7.2 to 7.4. Without uncertainty it is 0 or 1.
[[nodiscard]] statistics::Checked<double> conformance_probability(const Measured& measured,
                                                                  const Limits& limits);

struct Conformity {
    double margin = 0.0;  // distance over expanded uncertainty; +-1 where nothing is uncertain
    record::Verdict verdict = record::Verdict::no_verdict;
    double expanded = 0.0;                 // with which the margin is stated; 0 where there is none
    std::optional<statistics::Flaw> flaw;  // why there is no verdict
};
// `coverage_factor` is that of 95 % at the degrees of freedom; the margin is stated with it.
//   simple:  pass inside or on the limit, else fail (JCGM 106 8.2)
//   guarded: pass when the conformance probability is at least 1 - consumer_risk, fail when the
//            value lies beyond one of the limits with that probability, else inconclusive (JCGM 106
//            8.3; ISO 14253-1: limits closer than the doubt prove nothing either way)
// What flaw_of() names, a factor or a risk outside its domain, or fewer than `fewest_degrees` of an
// uncertain value (too_few_points) is no verdict.
//
// An uncertainty in proportion to its value is, at a limit, that of the limit: a value below an
// upper limit looks surer than it is. It is taken at the value or at the limit, where it is larger,
// which keeps the risk whether all of it is in proportion or none (JCGM 106 8.3.2: the risk is of
// values on the limit).
[[nodiscard]] Conformity decide(const Measured& measured, double coverage_factor,
                                const Limits& limits, const language::DecisionRule& rule,
                                language::Doubt doubt = language::Doubt::of_value);

// The same for a standard deviation, whose square goes with chi-squared of its degrees of freedom:
// larger than seen by more than smaller. `standard` is s / sqrt(2 v) (JCGM 100 E.4.3), from which s
// is taken; quiet counts show less than that, and are decided by it.
[[nodiscard]] Conformity decide_scatter(const Measured& measured, const Limits& limits,
                                        const language::DecisionRule& rule);
// By the one or the other, as the step's declaration says of the check: when judging, and again
// later.
[[nodiscard]] Conformity decide_check(language::Doubt doubt, const Measured& measured,
                                      double coverage_factor, const Limits& limits,
                                      const language::DecisionRule& rule);
// The rule of one step: a step that may be tried n times spends an n-th of the risk a try.
[[nodiscard]] language::DecisionRule rule_of(const language::Recipe& recipe, std::string_view step);
// The same for one look at a check: touching in looks spends an equal part of it at each.
[[nodiscard]] language::DecisionRule rule_of_one_look(const language::Recipe& recipe,
                                                      std::string_view step,
                                                      std::string_view check);

}  // namespace padtrim::metrology
