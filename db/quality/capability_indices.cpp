#include "db/quality/capability_indices.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

std::optional<Flaw> flaw_of(const SpecLimits& limits) {
    if (!limits.low && !limits.high) return Flaw::out_of_domain;
    if (!std::isfinite(limits.low.value_or(0.0)) || !std::isfinite(limits.high.value_or(0.0)))
        return Flaw::not_finite;
    if (limits.low && limits.high && *limits.low >= *limits.high) return Flaw::empty_interval;
    return std::nullopt;
}

Checked<Scatter> overall_scatter(const Moments& all) {
    const auto deviation = all.standard_deviation();
    if (!deviation) return deviation.error();
    if (!(*deviation > 0.0)) return Flaw::not_positive;
    const double n = static_cast<double>(all.count());
    return Scatter{*all.mean(), *deviation, n, n - 1.0};
}

Checked<Scatter> within_scatter(std::span<const Moments> subgroups) {
    Moments all;
    double squares = 0.0, degrees = 0.0;
    for (const Moments& group : subgroups) {
        if (group.count() == 0) continue;
        all.merge(group);
        squares += group.squares();
        degrees += static_cast<double>(group.count() - 1);
    }
    const auto mean = all.mean();
    if (!mean) return mean.error();
    if (degrees < 1.0) return Flaw::too_few_points;
    if (!std::isfinite(squares)) return Flaw::not_finite;
    if (!(squares > 0.0)) return Flaw::not_positive;
    return Scatter{*mean, std::sqrt(squares / degrees), static_cast<double>(all.count()), degrees};
}

namespace {

bool is_coverage(double coverage) {
    return coverage > 0.0 && coverage < 1.0;
}

Checked<Index> index_of_spread(double value, double degrees, double coverage) {
    const auto low = statistics::chi_squared_quantile((1.0 - coverage) / 2.0, degrees);
    const auto high = statistics::chi_squared_quantile((1.0 + coverage) / 2.0, degrees);
    if (!low || !high) return Flaw::out_of_domain;
    return Index{value, value * std::sqrt(*low / degrees), value * std::sqrt(*high / degrees)};
}

Index index_of_nearest(double value, const Scatter& scatter, double coverage) {
    const double z = *statistics::normal_quantile((1.0 + coverage) / 2.0);
    const double half =
        z * std::sqrt(1.0 / (9.0 * scatter.count) + value * value / (2.0 * scatter.degrees));
    return Index{value, value - half, value + half};
}

}  // namespace

Checked<Indices> normal_indices(const Scatter& scatter, const SpecLimits& limits, double coverage) {
    if (const auto flaw = flaw_of(limits)) return *flaw;
    if (!is_coverage(coverage)) return Flaw::out_of_domain;
    if (!std::isfinite(scatter.mean) || !std::isfinite(scatter.deviation)) return Flaw::not_finite;
    if (!(scatter.deviation > 0.0)) return Flaw::not_positive;
    if (!(scatter.count >= 2.0) || !(scatter.degrees >= 1.0)) return Flaw::too_few_points;
    Indices result;
    const double above = limits.high ? (*limits.high - scatter.mean) / scatter.deviation : INFINITY;
    const double below = limits.low ? (scatter.mean - *limits.low) / scatter.deviation : INFINITY;
    if (limits.low && limits.high) {
        const double spread = (*limits.high - *limits.low) / (6.0 * scatter.deviation);
        const auto index = index_of_spread(spread, scatter.degrees, coverage);
        if (!index) return index.error();
        result.spread = *index;
    }
    result.nearest = index_of_nearest(std::min(above, below) / 3.0, scatter, coverage);
    result.outside =
        statistics::normal_probability(-above) + statistics::normal_probability(-below);
    return result;
}

}  // namespace padtrim::quality
