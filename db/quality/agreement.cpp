#include "db/quality/agreement.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

namespace {

// Two-sided, of an estimate with its variance.
Checked<double> significance_of(double estimate, double variance, double degrees) {
    if (!(variance > 0.0)) return Flaw::not_positive;
    const auto tail =
        statistics::student_probability(-std::abs(estimate) / std::sqrt(variance), degrees);
    if (!tail) return tail.error();
    return 2.0 * *tail;
}

}  // namespace

Checked<BiasOverRange> bias_over_range(std::span<const double> references,
                                       std::span<const double> readings) {
    if (references.size() != readings.size()) return Flaw::sizes_differ;
    std::vector<double> biases(references.size());
    for (std::size_t i = 0; i < biases.size(); ++i) biases[i] = readings[i] - references[i];
    const auto line = statistics::line_of_equal(references, biases);
    if (!line) return line.error();
    const auto slope = significance_of(line->slope, line->slope_variance, line->degrees);
    const auto offset = significance_of(line->intercept, line->intercept_variance, line->degrees);
    if (!slope) return slope.error();
    if (!offset) return offset.error();
    const auto [low, high] = std::minmax_element(references.begin(), references.end());
    const double at_low = line->at(*low), at_high = line->at(*high);
    const auto mean = Moments::of(biases).mean();
    if (!mean) return mean.error();
    return BiasOverRange{*line, *slope, *offset, *mean,
                         std::abs(at_low) > std::abs(at_high) ? at_low : at_high};
}

namespace {

Bounded bounded(double value, double half) {
    return {value, value - half, value + half};
}

// Differences over means; all means equal is no trend.
Checked<double> trend_of(std::span<const double> means, std::span<const double> differences) {
    const auto line = statistics::line_of_equal(means, differences);
    if (!line && line.error() == Flaw::equal_abscissae) return 1.0;
    if (!line) return line.error();
    if (!(line->slope_variance > 0.0)) return 0.0;  // all differences on a line that rises
    return significance_of(line->slope, line->slope_variance, line->degrees);
}

}  // namespace

Checked<Agreement> agreement_of(std::span<const double> a, std::span<const double> b,
                                double coverage) {
    if (a.size() != b.size()) return Flaw::sizes_differ;
    if (a.size() < 3) return Flaw::too_few_points;
    if (!statistics::all_finite(a) || !statistics::all_finite(b)) return Flaw::not_finite;
    std::vector<double> differences, means;
    for (std::size_t i = 0; i < a.size(); ++i) {
        differences.push_back(a[i] - b[i]);
        means.push_back(0.5 * a[i] + 0.5 * b[i]);
    }
    const Moments moments = Moments::of(differences);
    const auto variance = moments.variance();
    if (!variance) return variance.error();
    if (!(*variance > 0.0)) return Flaw::not_positive;
    const double n = static_cast<double>(a.size()), mean = *moments.mean();
    const auto k = statistics::coverage_factor(coverage, n - 1.0);
    if (!k) return k.error();
    const auto significance = significance_of(mean, *variance / n, n - 1.0);
    if (!significance) return significance.error();
    const auto trend = trend_of(means, differences);
    if (!trend) return trend.error();
    const double z = *statistics::normal_quantile(0.975);
    const double of_limit = *k * std::sqrt(*variance * (1.0 / n + z * z / (2.0 * (n - 1.0))));
    Agreement result;
    result.pairs = a.size();
    result.deviation = std::sqrt(*variance);
    result.difference = bounded(mean, *k * result.deviation / std::sqrt(n));
    result.significance = *significance;
    result.lower = bounded(mean - z * result.deviation, of_limit);
    result.upper = bounded(mean + z * result.deviation, of_limit);
    result.trend_significance = *trend;
    return result;
}

}  // namespace padtrim::quality
