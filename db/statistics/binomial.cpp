#include "db/statistics/binomial.hpp"

#include <algorithm>
#include <cmath>

#include <boost/math/distributions/beta.hpp>
#include <boost/math/policies/policy.hpp>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

namespace policies = boost::math::policies;
// Arguments are checked before; double stays double so that results are the same everywhere.
using Plain = policies::policy<policies::promote_double<false>,
                               policies::domain_error<policies::ignore_error>,
                               policies::overflow_error<policies::ignore_error>,
                               policies::evaluation_error<policies::ignore_error>>;
using Beta = boost::math::beta_distribution<double, Plain>;

Checked<void> sensible(std::uint64_t successes, std::uint64_t trials, double coverage) {
    if (trials == 0) return Flaw::too_few_points;
    const bool covers = coverage > 0.0 && coverage < 1.0;
    if (successes > trials || !covers) return Flaw::out_of_domain;
    return {};
}

}  // namespace

Checked<ProportionInterval> wilson_interval(std::uint64_t successes, std::uint64_t trials,
                                            double coverage) {
    const Checked<void> ok = sensible(successes, trials, coverage);
    if (!ok) return ok.error();
    const double z = normal_quantile(0.5 + coverage / 2.0).value();
    const auto n = static_cast<double>(trials);
    const double p = static_cast<double>(successes) / n;
    const double centre = p + z * z / (2.0 * n);
    const double half = z * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    const double scale = 1.0 + z * z / n;
    // At the ends the formula gives 0 and 1 but for rounding.
    return ProportionInterval{successes == 0 ? 0.0 : std::max(0.0, (centre - half) / scale),
                              successes == trials ? 1.0 : std::min(1.0, (centre + half) / scale)};
}

Checked<ProportionInterval> clopper_pearson_interval(std::uint64_t successes, std::uint64_t trials,
                                                     double coverage) {
    const Checked<void> ok = sensible(successes, trials, coverage);
    if (!ok) return ok.error();
    const double tail = (1.0 - coverage) / 2.0;
    const auto x = static_cast<double>(successes);
    const auto rest = static_cast<double>(trials - successes);
    ProportionInterval interval;
    if (successes > 0) interval.low = quantile(Beta(x, rest + 1.0), tail);
    if (successes < trials) interval.high = quantile(complement(Beta(x + 1.0, rest), tail));
    return interval;
}

}  // namespace padtrim::statistics
