// How often run rules raise a false alarm. Pure.
//
// For independent normal values with known centre and sigma:
//   window     the probability that a fixed window of the rule's length satisfies it (closed form;
//              Andre's zigzag number 199360981 for fourteen alternating)
//   run length the mean number of points until one of a set of rules first signals, by the exact
//              Markov chain of Champ and Woodall (Technometrics 29 (1987) 393). Its inverse is the
//              rate of false alarms at shift 0. Rising and alternating points have no chain of
//              zones, so a set with six_steady or fourteen_alternating has none (out_of_domain).
#pragma once

#include "db/quality/run_rules.hpp"

namespace padtrim::quality {

[[nodiscard]] double window_probability(RunRule rule);

// Shift of the mean in sigmas. Flaws: too_few_points for no rule, not_finite, out_of_domain for a
// shift beyond 8 or a set without a chain, no_convergence.
[[nodiscard]] statistics::Checked<double> run_length(const RuleSet& rules, double shift);

}  // namespace padtrim::quality
