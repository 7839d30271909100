#include "db/statistics/fisher_exact.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/log_choose.hpp"

namespace padtrim::statistics {

Checked<double> fisher_exact(const Counted& a, const Counted& b) {
    if (a.whole == 0 || b.whole == 0) return Flaw::too_few_points;
    if (a.part > a.whole || b.part > b.whole) return Flaw::out_of_domain;
    const double m = static_cast<double>(a.whole), n = static_cast<double>(b.whole);
    const double k = static_cast<double>(a.part) + static_cast<double>(b.part);
    const double low = std::max(0.0, k - n), high = std::min(k, m);
    const double all = log_choose(m + n, k);
    const auto log_of = [&](double x) { return log_choose(m, x) + log_choose(n, k - x) - all; };
    constexpr double alike = 1e-7;  // tables of equal probability differ by rounding only
    const double seen = log_of(static_cast<double>(a.part)) + alike;
    double sum = 0.0;
    for (double x = low; x <= high; x += 1.0) {
        const double here = log_of(x);
        if (here <= seen) sum += std::exp(here);
    }
    return std::min(1.0, sum);
}

}  // namespace padtrim::statistics
