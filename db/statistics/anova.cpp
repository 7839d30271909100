#include "db/statistics/anova.hpp"

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::statistics {

Checked<OneWayAnova> one_way_anova(std::span<const std::vector<double>> groups) {
    if (groups.size() < 2) return Flaw::too_few_points;
    double count = 0.0, sum = 0.0;
    const double origin = groups[0].empty() ? 0.0 : groups[0][0];
    for (const auto& group : groups) {
        if (group.empty()) return Flaw::too_few_points;
        if (!all_finite(group)) return Flaw::not_finite;
        count += static_cast<double>(group.size());
        for (const double x : group) sum += x - origin;
    }
    const double grand = sum / count;  // about the origin
    OneWayAnova result;
    for (const auto& group : groups) {
        std::vector<double> shifted(group.size());
        for (std::size_t i = 0; i < group.size(); ++i) shifted[i] = group[i] - origin;
        const Moments moments = Moments::of(shifted);
        const double d = *moments.mean() - grand;
        result.between_squares += static_cast<double>(group.size()) * d * d;
        result.within_squares += moments.squares();
    }
    result.between_degrees = static_cast<double>(groups.size() - 1);
    result.within_degrees = count - static_cast<double>(groups.size());
    if (result.within_degrees < 1.0) return Flaw::too_few_points;
    if (result.within_squares <= 0.0) return Flaw::not_positive;
    result.between_mean_square = result.between_squares / result.between_degrees;
    result.within_mean_square = result.within_squares / result.within_degrees;
    result.f = result.between_mean_square / result.within_mean_square;
    result.residual_deviation = std::sqrt(result.within_mean_square);
    result.r_squared = result.between_squares / (result.between_squares + result.within_squares);
    const auto p =
        fisher_upper_probability(result.f, result.between_degrees, result.within_degrees);
    if (!p) return p.error();
    result.significance = *p;
    return result;
}

}  // namespace padtrim::statistics
