#include "db/quality/measuring_system.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

namespace {

Index scaled(const Index& index, double factor) {
    return {index.value * factor, *index.low * factor, *index.high * factor};
}

}  // namespace

Checked<Type1Study> type1_study(std::span<const double> readings, const Type1Plan& plan,
                                double coverage) {
    constexpr std::size_t fewest = 10;
    if (readings.size() < fewest) return Flaw::too_few_points;
    if (!std::isfinite(plan.reference) || !std::isfinite(plan.tolerance)) return Flaw::not_finite;
    const bool sensible = plan.tolerance > 0.0 && plan.share > 0.0 && plan.share <= 1.0 &&
                          plan.spread > 0.0 && std::isfinite(plan.spread);
    if (!sensible) return Flaw::out_of_domain;
    if (!statistics::all_finite(readings)) return Flaw::not_finite;
    const auto scatter = overall_scatter(Moments::of(readings));
    if (!scatter) return scatter.error();
    // Cg and Cgk are Cp and Cpk of a band about the reference, over a spread of their own.
    const double half = plan.share * plan.tolerance / 2.0;
    const auto indices =
        normal_indices(*scatter, {plan.reference - half, plan.reference + half}, coverage);
    if (!indices) return indices.error();
    Type1Study study;
    study.mean = scatter->mean;
    study.deviation = scatter->deviation;
    study.bias = study.mean - plan.reference;
    study.cg = scaled(*indices->spread, 6.0 / plan.spread);
    study.cgk = scaled(indices->nearest, 6.0 / plan.spread);
    const double of_mean = study.deviation / std::sqrt(scatter->count);
    const auto k = statistics::coverage_factor(coverage, scatter->degrees);
    const auto tail =
        statistics::student_probability(-std::abs(study.bias) / of_mean, scatter->degrees);
    if (!k) return k.error();
    if (!tail) return tail.error();
    study.bias_low = study.bias - *k * of_mean;
    study.bias_high = study.bias + *k * of_mean;
    study.bias_significance = 2.0 * *tail;
    return study;
}

namespace {

Checked<double> root_of_squares(std::initializer_list<double> parts) {
    double sum = 0.0;
    for (const double part : parts) {
        if (!std::isfinite(part)) return Flaw::not_finite;
        if (part < 0.0) return Flaw::out_of_domain;
        sum += part * part;
    }
    if (!std::isfinite(sum)) return Flaw::not_finite;
    return std::sqrt(sum);
}

// The largest counts once: each of them contains the others. NaN stays NaN.
double largest_of(double a, double b) {
    return std::isnan(a) || a > b ? a : b;
}

Checked<double> uncertainty_of(const MeasuringSystem& system, double part_repeatability) {
    const double resolution = system.resolution / std::sqrt(12.0);
    for (const double each : {system.repeatability, resolution, part_repeatability}) {
        if (!std::isfinite(each)) return Flaw::not_finite;
        if (each < 0.0) return Flaw::out_of_domain;
    }
    const double repeat =
        largest_of(largest_of(system.repeatability, resolution), part_repeatability);
    return root_of_squares({system.calibration, repeat, std::abs(system.bias) / std::sqrt(3.0),
                            system.linearity, system.rest});
}

Checked<FitForTolerance> judged(double standard, double tolerance, double factor, double largest) {
    if (!std::isfinite(tolerance)) return Flaw::not_finite;
    const bool sensible = tolerance > 0.0 && factor > 0.0 && std::isfinite(factor) &&
                          largest > 0.0 && std::isfinite(largest);
    if (!sensible) return Flaw::out_of_domain;
    if (!(standard > 0.0)) return Flaw::not_positive;
    FitForTolerance fit;
    fit.standard = standard;
    fit.expanded = factor * standard;
    fit.q = 2.0 * fit.expanded / tolerance;
    fit.smallest_tolerance = 2.0 * fit.expanded / largest;
    fit.fit = tolerance >= fit.smallest_tolerance;
    return fit;
}

}  // namespace

Checked<FitForTolerance> fit_of(const MeasuringSystem& system, double tolerance,
                                const FitRule& rule) {
    const auto standard = uncertainty_of(system, 0.0);
    if (!standard) return standard.error();
    return judged(*standard, tolerance, rule.coverage_factor, rule.largest_q_system);
}

Checked<FitForTolerance> fit_of(const MeasuringProcess& process, double tolerance,
                                const FitRule& rule) {
    const auto system = uncertainty_of(process.system, process.part_repeatability);
    if (!system) return system.error();
    const auto standard =
        root_of_squares({*system, process.appraiser, process.interaction, process.part_form,
                         process.stability, process.temperature, process.rest});
    if (!standard) return standard.error();
    return judged(*standard, tolerance, rule.coverage_factor, rule.largest_q_process);
}

}  // namespace padtrim::quality
