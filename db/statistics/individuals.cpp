#include "db/statistics/individuals.hpp"

#include <numbers>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

const double d2 = 2.0 / std::sqrt(std::numbers::pi);
constexpr double three_sigma = 3.0;

}  // namespace

Checked<double> mean_moving_range(std::span<const double> values) {
    if (values.size() < 2) return Flaw::too_few_points;
    if (!all_finite(values)) return Flaw::not_finite;
    double sum = 0.0;
    for (std::size_t i = 1; i < values.size(); ++i) sum += std::abs(values[i] - values[i - 1]);
    return sum / static_cast<double>(values.size() - 1);
}

Checked<IndividualsChart> individuals_chart(std::span<const double> values) {
    const auto range = mean_moving_range(values);
    if (!range) return range.error();
    IndividualsChart chart;
    for (const double value : values) chart.centre += value;
    chart.centre /= static_cast<double>(values.size());
    chart.moving_range = *range;
    chart.sigma = *range / d2;
    chart.low = chart.centre - three_sigma * chart.sigma;
    chart.high = chart.centre + three_sigma * chart.sigma;
    return chart;
}

Checked<double> moving_range_degrees(std::size_t n) {
    if (n < 2) return Flaw::too_few_points;
    constexpr double pi = std::numbers::pi;
    const double d3_squared = 2.0 - d2 * d2;
    const double neighbours = (4.0 / pi) * (std::sqrt(0.75) + pi / 12.0) - d2 * d2;
    const double ranges = static_cast<double>(n - 1);
    const double variance = d3_squared + 2.0 * neighbours * (ranges - 1.0) / ranges;
    return ranges * d2 * d2 / (2.0 * variance);
}

Checked<double> joint_factor(std::size_t charts, std::size_t baseline, double degrees) {
    if (charts == 0 || baseline == 0) return Flaw::too_few_points;
    const double of_one = 2.0 * normal_probability(-three_sigma);
    const double share = -std::expm1(std::log1p(-of_one) / static_cast<double>(charts));
    const auto quantile = student_quantile(1.0 - share / 2.0, degrees);
    if (!quantile) return quantile.error();
    return *quantile * std::sqrt(1.0 + 1.0 / static_cast<double>(baseline));
}

}  // namespace padtrim::statistics
