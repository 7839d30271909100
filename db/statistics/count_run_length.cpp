#include <algorithm>
#include <cmath>

#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>

#include "db/statistics/run_length.hpp"

namespace padtrim::statistics {

namespace {

// Counts that a chart draws within its limits, compared as the chart compares them.
struct Within {
    double least = 0.0, most = 0.0;
};

Within within(double low, double high, double size) {
    Within counts{std::ceil(low * size), std::floor(high * size)};
    while (counts.least > 0.0 && (counts.least - 1.0) / size >= low) counts.least -= 1.0;
    while (counts.least / size < low) counts.least += 1.0;
    while ((counts.most + 1.0) / size <= high) counts.most += 1.0;
    while (counts.most / size > high) counts.most -= 1.0;
    return counts;
}

Checked<void> sensible_limits(double low, double high) {
    if (!std::isfinite(low) || !std::isfinite(high)) return Flaw::not_finite;
    if (low < 0.0 || low > high) return Flaw::out_of_domain;
    return {};
}

Checked<double> length_of(double below, double above) {
    if (!(below + above > 0.0)) return Flaw::out_of_domain;
    return 1.0 / (below + above);
}

}  // namespace

Checked<double> share_run_length(double low, double high, std::uint64_t size, double share) {
    if (const auto ok = sensible_limits(low, high); !ok) return ok.error();
    if (!(share > 0.0 && share < 1.0) || size == 0) return Flaw::out_of_domain;
    const double n = static_cast<double>(size);
    const Within counts = within(low, std::min(high, 1.0), n);
    // P(X >= x) = I_p(x, n - x + 1)
    const double below =
        counts.least > 0.0 ? boost::math::ibetac(counts.least, n - counts.least + 1.0, share) : 0.0;
    const double above =
        counts.most < n ? boost::math::ibeta(counts.most + 1.0, n - counts.most, share) : 0.0;
    return length_of(below, above);
}

Checked<double> occurrence_run_length(double low, double high, double size, double mean_of_one) {
    if (const auto ok = sensible_limits(low, high); !ok) return ok.error();
    if (!std::isfinite(size) || !std::isfinite(mean_of_one)) return Flaw::not_finite;
    if (!(size > 0.0) || !(mean_of_one > 0.0)) return Flaw::out_of_domain;
    const Within counts = within(low, high, size);
    const double mean = mean_of_one * size;
    // P(X >= x) = P(x, mean), the lower incomplete gamma function.
    const double below = counts.least > 0.0 ? boost::math::gamma_q(counts.least, mean) : 0.0;
    return length_of(below, boost::math::gamma_p(counts.most + 1.0, mean));
}

}  // namespace padtrim::statistics
