#include "station/metrology/sequential_limit.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "db/statistics/correlation.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

SequentialLimit::SequentialLimit(const SequentialPlan& plan, const Limits& limits, double deviation,
                                 double correlation, std::vector<double> boundaries)
    : plan_(plan),
      limits_(limits),
      deviation_(deviation),
      correlation_(correlation),
      boundaries_(std::move(boundaries)) {}

Checked<SequentialLimit> SequentialLimit::of(const SequentialPlan& plan, const Limits& limits,
                                             double deviation, double correlation) {
    if (!limits.limited()) return Flaw::empty_interval;
    if (const auto zero = distance_inside(0.0, limits); !zero) return zero.error();
    if (limits.low && limits.high && *limits.low >= *limits.high) return Flaw::empty_interval;
    if (!std::isfinite(deviation)) return Flaw::not_finite;
    if (!(deviation > 0.0)) return Flaw::not_positive;
    if (!(std::abs(correlation) < 1.0)) return Flaw::out_of_domain;
    if (plan.looks == 0 || plan.readings_a_look == 0) return Flaw::too_few_points;
    if (!(plan.risk > 0.0 && plan.risk < 0.5)) return Flaw::out_of_domain;
    auto boundaries = statistics::group_boundaries(plan.shape, plan.looks, 2.0 * plan.risk);
    if (!boundaries) return boundaries.error();
    return SequentialLimit(plan, limits, deviation, correlation, std::move(*boundaries));
}

double SequentialLimit::deviation_of_mean(std::size_t readings) const {
    const double n = static_cast<double>(readings);
    return deviation_ * std::sqrt(statistics::mean_inflation(readings, correlation_) / n);
}

LimitDecision SequentialLimit::after(std::size_t readings, double mean) const {
    const std::size_t look = readings / plan_.readings_a_look;
    if (look == 0 || readings % plan_.readings_a_look != 0) return LimitDecision::undetermined;
    // A look that the plan does not have spends risk that nobody agreed to.
    const auto distance = distance_inside(mean, limits_);
    if (look > plan_.looks || !distance) return LimitDecision::undetermined;
    const double z = *distance / deviation_of_mean(readings);
    if (z >= boundaries_[look - 1]) return LimitDecision::inside;
    return z <= -boundaries_[look - 1] ? LimitDecision::outside : LimitDecision::undetermined;
}

Checked<double> SequentialLimit::expected_readings(double inside) const {
    const double drift = inside / deviation_of_mean(plan_.most_readings());
    const auto outcome = statistics::group_outcome(boundaries_, drift);
    if (!outcome) return outcome.error();
    return outcome->expected_looks * static_cast<double>(plan_.readings_a_look);
}

}  // namespace padtrim::metrology
