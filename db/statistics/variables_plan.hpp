// The smallest plan by variables (s method, one limit) that keeps two risks.
//
//   k(n)    the largest k that accepts `good` with 1 - producer's risk: the alpha quantile of
//           noncentral t(n - 1, z(1 - good) sqrt n), over sqrt n
//   n       the smallest from 3 whose k(n) accepts `bad` with no more than the consumer's risk
//
// More values than n under the same k keep both risks better. Pure and thread safe. Flaws:
// out_of_domain for shares or risks outside (0, 1), empty_interval for good >= bad, no_convergence
// beyond 10 000 values.
#pragma once

#include "db/statistics/acceptance.hpp"

namespace padtrim::statistics {

[[nodiscard]] Checked<VariablesPlan> variables_plan_for(const RiskPoints& risks);

}  // namespace padtrim::statistics
