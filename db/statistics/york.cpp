// York's line with errors on both axes, by the iteration of York et al. (2004), section III.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "db/statistics/straight_line.hpp"

namespace padtrim::statistics {

namespace {

struct Points {
    std::span<const double> x, ux, y, uy, r;
    [[nodiscard]] std::size_t size() const { return x.size(); }
    [[nodiscard]] double correlation(std::size_t i) const { return r.empty() ? 0.0 : r[i]; }
};

std::optional<Flaw> flaw_of(const Points& p) {
    const std::size_t n = p.size();
    if (p.ux.size() != n || p.y.size() != n || p.uy.size() != n) return Flaw::sizes_differ;
    if (!p.r.empty() && p.r.size() != n) return Flaw::sizes_differ;
    if (n < 2) return Flaw::too_few_points;
    if (!all_finite(p.x) || !all_finite(p.y) || !all_finite(p.ux) || !all_finite(p.uy) ||
        !all_finite(p.r)) {
        return Flaw::not_finite;
    }
    for (std::size_t i = 0; i < n; ++i) {
        if (!(p.ux[i] > 0.0) || !(p.uy[i] > 0.0)) return Flaw::not_positive;
        if (std::abs(p.correlation(i)) >= 1.0) return Flaw::out_of_domain;
    }
    return std::nullopt;
}

// Steps are not waited for to fall below so many times the rounding.
constexpr double near_rounding = 100.0;

// Everything that one slope implies.
struct Turn {
    std::vector<double> weight, beta;
    double total = 0.0, mean_x = 0.0, mean_y = 0.0;
    double next_slope = 0.0;
    double spread = 0.0;    // 1 / variance of the slope, nearly
    double rounding = 0.0;  // of next_slope, by that of its sums
};

Turn turn_of(const Points& p, double slope) {
    Turn t;
    const std::size_t n = p.size();
    std::vector<double> alpha(n);
    for (std::size_t i = 0; i < n; ++i) {
        const double wx = 1.0 / (p.ux[i] * p.ux[i]), wy = 1.0 / (p.uy[i] * p.uy[i]);
        alpha[i] = std::sqrt(wx * wy);
        const double w =
            wx * wy / (wx + slope * slope * wy - 2.0 * slope * p.correlation(i) * alpha[i]);
        t.weight.push_back(w);
        t.total += w;
        t.mean_x += w * p.x[i];
        t.mean_y += w * p.y[i];
    }
    t.mean_x /= t.total;
    t.mean_y /= t.total;
    double above = 0.0, below = 0.0, handled = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double wx = 1.0 / (p.ux[i] * p.ux[i]), wy = 1.0 / (p.uy[i] * p.uy[i]);
        const double u = p.x[i] - t.mean_x, v = p.y[i] - t.mean_y;
        const double beta =
            t.weight[i] * (u / wy + slope * v / wx - (slope * u + v) * p.correlation(i) / alpha[i]);
        t.beta.push_back(beta);
        above += t.weight[i] * beta * v;
        below += t.weight[i] * beta * u;
        t.spread += t.weight[i] * beta * beta;
        // What was rounded on the way to u and v, and what their products weigh.
        handled += t.weight[i] * std::abs(beta) *
                   (std::abs(p.y[i]) + std::abs(t.mean_y) +
                    std::abs(slope) * (std::abs(p.x[i]) + std::abs(t.mean_x)));
    }
    t.next_slope = above / below;
    t.rounding = std::numeric_limits<double>::epsilon() * handled / std::abs(below);
    return t;
}

// Variances at the adjusted points (York et al. 2004, equations 13c and 13d).
void fill_variances(YorkLine& line, const Points& p, const Turn& t) {
    double mean = 0.0, spread = 0.0;
    for (std::size_t i = 0; i < p.size(); ++i) mean += t.weight[i] * (t.mean_x + t.beta[i]);
    mean /= t.total;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const double u = t.mean_x + t.beta[i] - mean;
        spread += t.weight[i] * u * u;
        const double r = p.y[i] - line.intercept - line.slope * p.x[i];
        line.chi_squared += t.weight[i] * r * r;
    }
    line.slope_variance = 1.0 / spread;
    line.intercept_variance = 1.0 / t.total + mean * mean / spread;
    line.covariance = -mean / spread;
}

}  // namespace

Checked<YorkLine> line_of_york(std::span<const double> x, std::span<const double> x_deviations,
                               std::span<const double> y, std::span<const double> y_deviations,
                               std::span<const double> r) {
    const Points p{x, x_deviations, y, y_deviations, r};
    if (const auto flaw = flaw_of(p)) return *flaw;
    const auto start = line_of_weighted(x, y, y_deviations);
    if (!start) return start.error();
    YorkLine line;
    line.slope = start->slope;
    double smallest = std::numeric_limits<double>::infinity();
    for (line.iterations = 1; line.iterations <= 200; ++line.iterations) {
        const Turn t = turn_of(p, line.slope);
        if (!std::isfinite(t.next_slope)) return Flaw::no_convergence;
        const double change = std::abs(t.next_slope - line.slope);
        line.slope = t.next_slope;
        // No further than double precision goes: what rounding alone moves the slope by, or, near
        // that, no smaller steps. A slope of nothing has no digits of its own: then its deviation
        // says what is little.
        const bool at_rest = change >= smallest && change <= near_rounding * t.rounding;
        smallest = std::min(smallest, change);
        const double little = std::max(1e-15 * std::abs(line.slope), 1e-14 / std::sqrt(t.spread));
        if (change > std::max(little, t.rounding) && !at_rest) continue;
        line.intercept = t.mean_y - line.slope * t.mean_x;
        line.degrees = static_cast<double>(p.size()) - 2.0;
        fill_variances(line, p, t);
        const double all = line.intercept + line.intercept_variance + line.chi_squared;
        if (!std::isfinite(all)) return Flaw::not_finite;
        return line;
    }
    return Flaw::no_convergence;
}

}  // namespace padtrim::statistics
