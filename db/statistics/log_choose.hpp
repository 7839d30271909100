// ln of the number of ways to choose k of n. Internal to counts: exact tests and sampling plans.
#pragma once

#include <boost/math/special_functions/gamma.hpp>

namespace padtrim::statistics {

// Boost's log gamma: the one of <cmath> writes a global.
[[nodiscard]] inline double log_choose(double n, double k) {
    using boost::math::lgamma;
    return lgamma(n + 1.0) - lgamma(k + 1.0) - lgamma(n - k + 1.0);
}

}  // namespace padtrim::statistics
