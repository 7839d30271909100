#include "db/statistics/tolerance.hpp"

#include <cmath>
#include <limits>

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/tools/roots.hpp>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

namespace math = boost::math;

bool is_share(double p) {
    return p > 0.0 && p < 1.0;
}
bool sensible(const ToleranceAim& aim) {
    return is_share(aim.content) && is_share(aim.confidence);
}

// r with Phi(x + r) - Phi(x - r) = content; Newton from outside, where it cannot overshoot twice.
double half_width(double x, double content) {
    double r = x + *normal_quantile(0.5 * (1.0 + content));
    for (int i = 0; i < 60; ++i) {
        const double inside = normal_probability(x + r) - normal_probability(x - r);
        const double slope = normal_density(x + r) + normal_density(x - r);
        const double step = (inside - content) / slope;
        r -= step;
        if (std::abs(step) <= 4e-16 * r) break;
    }
    return r;
}

// Confidence of mean +- k s.
double confidence_of(double k, double n, double content) {
    constexpr double far = 9.0;  // the normal density beyond it is below 1e-18
    const auto integrand = [&](double u) {
        const double r = half_width(u / std::sqrt(n), content);
        const auto below = chi_squared_probability((n - 1.0) * r * r / (k * k), n - 1.0);
        return (1.0 - (below ? *below : 1.0)) * normal_density(u);
    };
    using Rule = math::quadrature::gauss_kronrod<double, 61>;
    return 2.0 * Rule::integrate(integrand, 0.0, far, 8, 1e-13);
}

Checked<double> factor_of_both_sides(double n, const ToleranceAim& aim) {
    // Howe's approximation (1969), within some per cent of the exact factor.
    const auto z = normal_quantile(0.5 * (1.0 + aim.content));
    const auto chi = chi_squared_quantile(1.0 - aim.confidence, n - 1.0);
    if (!z || !chi) return Flaw::out_of_domain;
    const double howe = *z * std::sqrt((n - 1.0) * (1.0 + 1.0 / n) / *chi);
    const auto miss = [&](double k) { return confidence_of(k, n, aim.content) - aim.confidence; };
    std::uintmax_t iterations = 60;
    const auto bracket = math::tools::bracket_and_solve_root(
        miss, howe, 1.1, true, math::tools::eps_tolerance<double>(48), iterations);
    if (iterations >= 60) return Flaw::no_convergence;
    return 0.5 * (bracket.first + bracket.second);
}

}  // namespace

Checked<double> tolerance_factor(std::uint64_t count, const ToleranceAim& aim, Sides sides) {
    if (!sensible(aim)) return Flaw::out_of_domain;
    if (count < 2) return Flaw::too_few_points;
    const auto n = static_cast<double>(count);
    if (sides == Sides::both) return factor_of_both_sides(n, aim);
    const double shift = *normal_quantile(aim.content) * std::sqrt(n);
    return quantile(math::non_central_t_distribution<double>(n - 1.0, shift), aim.confidence) /
           std::sqrt(n);
}

Checked<std::uint64_t> tolerance_ranks(std::uint64_t count, const ToleranceAim& aim) {
    if (!sensible(aim)) return Flaw::out_of_domain;
    if (count < 1) return Flaw::too_few_points;
    // P(Bin(n, q) >= v) = I_q(v, n - v + 1) falls as v grows.
    const auto holds = [&](std::uint64_t v) {
        return math::ibeta(static_cast<double>(v), static_cast<double>(count - v + 1),
                           1.0 - aim.content) >= aim.confidence;
    };
    std::uint64_t low = 0, high = count + 1;  // low holds, high does not
    while (high - low > 1) {
        const std::uint64_t middle = low + (high - low) / 2;
        (holds(middle) ? low : high) = middle;
    }
    return low;
}

Checked<std::uint64_t> tolerance_sample(std::uint64_t ranks, const ToleranceAim& aim) {
    if (!sensible(aim) || ranks < 1) return Flaw::out_of_domain;
    std::uint64_t low = 0, high = ranks;  // low is too few
    while (*tolerance_ranks(high, aim) < ranks) {
        low = high;
        if (high > std::numeric_limits<std::uint32_t>::max()) return Flaw::no_convergence;
        high *= 2;
    }
    while (high - low > 1) {
        const std::uint64_t middle = low + (high - low) / 2;
        (*tolerance_ranks(middle, aim) >= ranks ? high : low) = middle;
    }
    return high;
}

}  // namespace padtrim::statistics
