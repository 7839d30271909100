#include "db/statistics/variables_plan.hpp"

#include <cmath>
#include <exception>

#include <boost/math/distributions/non_central_t.hpp>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {
namespace {

constexpr std::uint64_t fewest_values = 3, most_values = 10'000;

bool share_inside(double p) {
    return p > 0.0 && p < 1.0;
}

VariablesPlan for_producer(std::uint64_t sample, const RiskPoints& risks) {
    const double n = static_cast<double>(sample), root = std::sqrt(n);
    const boost::math::non_central_t_distribution<double> t(n - 1.0,
                                                            -*normal_quantile(risks.good) * root);
    return {sample, quantile(t, risks.producers_risk) / root};
}

bool holds_for_consumer(const VariablesPlan& plan, const RiskPoints& risks) {
    const auto accepted = acceptance(plan, risks.bad);
    return accepted && *accepted <= risks.consumers_risk;
}

VariablesPlan smallest_plan(const RiskPoints& risks) {
    std::uint64_t low = fewest_values - 1, high = fewest_values;  // high will hold
    while (high < most_values && !holds_for_consumer(for_producer(high, risks), risks)) {
        low = high;
        high *= 2;
    }
    while (high - low > 1) {
        const std::uint64_t middle = low + (high - low) / 2;
        (holds_for_consumer(for_producer(middle, risks), risks) ? high : low) = middle;
    }
    return for_producer(high, risks);
}

}  // namespace

Checked<VariablesPlan> variables_plan_for(const RiskPoints& risks) {
    if (!share_inside(risks.good) || !share_inside(risks.bad) ||
        !share_inside(risks.producers_risk) || !share_inside(risks.consumers_risk))
        return Flaw::out_of_domain;
    if (risks.good >= risks.bad) return Flaw::empty_interval;
    try {
        const auto plan = smallest_plan(risks);
        if (plan.sample > most_values || !holds_for_consumer(plan, risks))
            return Flaw::no_convergence;
        return plan;
    } catch (const std::exception&) {  // the quantile's search
        return Flaw::no_convergence;
    }
}

}  // namespace padtrim::statistics
