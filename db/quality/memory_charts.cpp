#include "db/quality/memory_charts.hpp"

#include <algorithm>
#include <cmath>

namespace padtrim::quality {

using statistics::Checked;
using statistics::CusumPlan;
using statistics::EwmaPlan;
using statistics::Flaw;

std::optional<Flaw> flaw_of(const InControl& process) {
    if (!std::isfinite(process.centre) || !std::isfinite(process.sigma)) return Flaw::not_finite;
    if (!(process.sigma > 0.0)) return Flaw::not_positive;
    return std::nullopt;
}

Checked<EwmaChart> EwmaChart::of(const InControl& process, const EwmaPlan& plan) {
    if (const auto flaw = flaw_of(process)) return *flaw;
    const bool chart = plan.lambda > 0.0 && plan.lambda <= 1.0 && plan.width > 0.0;
    if (!chart || !std::isfinite(plan.width)) return Flaw::out_of_domain;
    return EwmaChart(process, plan);
}

Checked<EwmaPoint> EwmaChart::add(double value) {
    if (!std::isfinite(value)) return Flaw::not_finite;
    mean_ += plan_.lambda * (value - mean_);
    remaining_ *= 1.0 - plan_.lambda;
    const double half =
        plan_.width * process_.sigma *
        std::sqrt(plan_.lambda / (2.0 - plan_.lambda) * (1.0 - remaining_ * remaining_));
    return EwmaPoint{mean_, process_.centre - half, process_.centre + half};
}

Checked<CusumChart> CusumChart::of(const InControl& process, const CusumPlan& plan) {
    if (const auto flaw = flaw_of(process)) return *flaw;
    const bool chart =
        plan.k >= 0.0 && plan.h > 0.0 && plan.head_start >= 0.0 && plan.head_start < plan.h;
    if (!chart || !std::isfinite(plan.k) || !std::isfinite(plan.h)) return Flaw::out_of_domain;
    return CusumChart(process, plan);
}

Checked<CusumPoint> CusumChart::add(double value) {
    const double z = (value - process_.centre) / process_.sigma;
    if (!std::isfinite(z)) return Flaw::not_finite;
    last_.upper = std::max(0.0, last_.upper + z - plan_.k);
    last_.lower = std::max(0.0, last_.lower - z - plan_.k);
    last_.upper_run = last_.upper > 0.0 ? last_.upper_run + 1 : 0;
    last_.lower_run = last_.lower > 0.0 ? last_.lower_run + 1 : 0;
    return last_;
}

}  // namespace padtrim::quality
