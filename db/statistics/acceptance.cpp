#include "db/statistics/acceptance.hpp"

#include <algorithm>
#include <cmath>

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/special_functions/beta.hpp>

#include "db/statistics/distributions.hpp"
#include "db/statistics/log_choose.hpp"

namespace padtrim::statistics {

namespace {

Checked<void> sensible(const AttributesPlan& plan) {
    if (plan.sample == 0) return Flaw::too_few_points;
    if (plan.accept >= plan.sample) return Flaw::out_of_domain;
    return {};
}

// P(Bin(n, p) <= c) = I_1-p(n - c, c + 1).
double at_most(const AttributesPlan& plan, double p) {
    const double n = static_cast<double>(plan.sample), c = static_cast<double>(plan.accept);
    return boost::math::ibetac(c + 1.0, n - c, p);
}

bool inside(double p) {
    return p > 0.0 && p < 1.0;
}

}  // namespace

Checked<double> acceptance(const AttributesPlan& plan, double nonconforming_share) {
    if (const auto ok = sensible(plan); !ok) return ok.error();
    if (!std::isfinite(nonconforming_share)) return Flaw::not_finite;
    if (nonconforming_share < 0.0 || nonconforming_share > 1.0) return Flaw::out_of_domain;
    return at_most(plan, nonconforming_share);
}

Checked<double> acceptance_of_lot(const AttributesPlan& plan, std::uint64_t nonconforming,
                                  std::uint64_t lot) {
    if (const auto ok = sensible(plan); !ok) return ok.error();
    if (plan.sample > lot || nonconforming > lot) return Flaw::out_of_domain;
    const double n = static_cast<double>(plan.sample), all = static_cast<double>(lot);
    const double bad = static_cast<double>(nonconforming);
    const double least = std::max(0.0, n - (all - bad));
    const double most = std::min({static_cast<double>(plan.accept), bad, n});
    const double ways = log_choose(all, n);
    double sum = 0.0;
    for (double x = least; x <= most; x += 1.0)
        sum += std::exp(log_choose(bad, x) + log_choose(all - bad, n - x) - ways);
    return std::min(1.0, sum);
}

Checked<double> share_accepted(const AttributesPlan& plan, double probability) {
    if (const auto ok = sensible(plan); !ok) return ok.error();
    if (!inside(probability)) return Flaw::out_of_domain;
    const double n = static_cast<double>(plan.sample), c = static_cast<double>(plan.accept);
    return boost::math::ibetac_inv(c + 1.0, n - c, probability);
}

Checked<double> outgoing_share(const AttributesPlan& plan, double nonconforming_share,
                               std::uint64_t lot) {
    if (plan.sample > lot) return Flaw::out_of_domain;
    const auto accepted = acceptance(plan, nonconforming_share);
    if (!accepted) return accepted.error();
    return *accepted * nonconforming_share * static_cast<double>(lot - plan.sample) /
           static_cast<double>(lot);
}

Checked<double> acceptance(const VariablesPlan& plan, double nonconforming_share) {
    if (plan.sample < 2) return Flaw::too_few_points;
    if (!std::isfinite(plan.k) || !std::isfinite(nonconforming_share)) return Flaw::not_finite;
    if (!inside(nonconforming_share)) return Flaw::out_of_domain;
    const double root = std::sqrt(static_cast<double>(plan.sample));
    const double shift = -*normal_quantile(nonconforming_share) * root;
    const boost::math::non_central_t_distribution<double> t(static_cast<double>(plan.sample - 1),
                                                            shift);
    return cdf(complement(t, plan.k * root));
}

namespace {

// The largest sample that still accepts `good` often enough; acceptance falls as samples grow.
std::uint64_t largest_for_producer(std::uint64_t accept, const RiskPoints& risks) {
    std::uint64_t low = accept + 1, high = accept + 2;  // low holds
    const auto holds = [&](std::uint64_t n) {
        return at_most({n, accept}, risks.good) >= 1.0 - risks.producers_risk;
    };
    if (!holds(low)) return 0;
    while (holds(high) && high < (1ULL << 40U)) high *= 2;
    while (high - low > 1) {
        const std::uint64_t middle = low + (high - low) / 2;
        (holds(middle) ? low : high) = middle;
    }
    return low;
}

// The smallest sample that refuses `bad` often enough.
std::uint64_t smallest_for_consumer(std::uint64_t accept, const RiskPoints& risks) {
    std::uint64_t low = accept, high = accept + 1;  // high will hold
    const auto holds = [&](std::uint64_t n) {
        return at_most({n, accept}, risks.bad) <= risks.consumers_risk;
    };
    while (!holds(high) && high < (1ULL << 40U)) {
        low = high;
        high *= 2;
    }
    while (high - low > 1) {
        const std::uint64_t middle = low + (high - low) / 2;
        (holds(middle) ? high : low) = middle;
    }
    return high;
}

}  // namespace

Checked<AttributesPlan> plan_for(const RiskPoints& risks) {
    const bool sensible_risks = inside(risks.good) && inside(risks.bad) &&
                                inside(risks.producers_risk) && inside(risks.consumers_risk);
    if (!sensible_risks) return Flaw::out_of_domain;
    if (risks.good >= risks.bad) return Flaw::empty_interval;
    constexpr std::uint64_t most_accepted = 10'000;
    for (std::uint64_t accept = 0; accept <= most_accepted; ++accept) {
        const std::uint64_t sample = smallest_for_consumer(accept, risks);
        if (sample <= largest_for_producer(accept, risks)) return AttributesPlan{sample, accept};
    }
    return Flaw::no_convergence;
}

}  // namespace padtrim::statistics
