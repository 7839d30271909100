#include "db/statistics/chart_constants.hpp"

#include <algorithm>
#include <cmath>

#include <boost/math/special_functions/gamma.hpp>

#include "db/statistics/range.hpp"

namespace padtrim::statistics {

namespace {

constexpr std::size_t largest_subgroup = 25;

}  // namespace

Checked<double> mean_of_deviation(double degrees) {
    if (!std::isfinite(degrees)) return Flaw::not_finite;
    if (!(degrees > 0.0)) return Flaw::out_of_domain;
    return std::sqrt(2.0 / degrees) *
           boost::math::tgamma_ratio((degrees + 1.0) / 2.0, degrees / 2.0);
}

Checked<ChartConstants> chart_constants(std::size_t n) {
    if (n < 2) return Flaw::too_few_points;
    if (n > largest_subgroup) return Flaw::out_of_domain;
    const auto range = range_of_normal(n);
    if (!range) return range.error();
    const double count = static_cast<double>(n);
    ChartConstants c;
    c.d2 = range->mean;
    c.d3 = range->deviation;
    c.c4 = *mean_of_deviation(count - 1.0);
    c.A2 = 3.0 / (c.d2 * std::sqrt(count));
    c.A3 = 3.0 / (c.c4 * std::sqrt(count));
    const double of_range = 3.0 * c.d3 / c.d2, of_s = 3.0 * std::sqrt(1.0 - c.c4 * c.c4) / c.c4;
    c.D3 = std::max(0.0, 1.0 - of_range);
    c.D4 = 1.0 + of_range;
    c.B3 = std::max(0.0, 1.0 - of_s);
    c.B4 = 1.0 + of_s;
    return c;
}

Checked<double> d2_of_ranges(std::size_t n, std::size_t ranges) {
    if (ranges == 0) return Flaw::too_few_points;
    const auto range = range_of_normal(n);
    if (!range) return range.error();
    return std::sqrt(range->mean * range->mean +
                     range->deviation * range->deviation / static_cast<double>(ranges));
}

}  // namespace padtrim::statistics
