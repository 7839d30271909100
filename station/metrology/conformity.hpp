// Conformity: what a value with its doubt says about a limit (JCGM 106; ISO 14253-1 rule).
//
// Pure and thread safe. All numbers are in the limit's own unit. The state of knowledge about the
// true value is Student's t around the measured one (normal for infinite degrees of freedom).
#pragma once

#include <limits>
#include <optional>

#include "db/record/unit_result.hpp"
#include "db/statistics/flaw.hpp"
#include "recipes/language/recipe.hpp"
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

// Signed distance to the nearest limit, inside positive; infinite without limits.
[[nodiscard]] double distance_inside(double value, const Limits& limits);

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
    std::optional<statistics::Flaw> flaw;  // why there is no verdict
};
// `coverage_factor` is that of 95 % at the degrees of freedom; the margin is stated with it.
//   simple:  pass inside or on the limit, else fail (JCGM 106 8.2)
//   guarded: pass when the conformance probability is at least 1 - consumer_risk, fail when it is
//            at most consumer_risk, else inconclusive (JCGM 106 8.3; ISO 14253-1)
// What flaw_of() names, a factor or a risk outside its domain, or fewer than `fewest_degrees` of an
// uncertain value (too_few_points) is no verdict.
[[nodiscard]] Conformity decide(const Measured& measured, double coverage_factor,
                                const Limits& limits, const language::DecisionRule& rule);

}  // namespace padtrim::metrology
