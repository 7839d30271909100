#include "db/statistics/straight_line.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <vector>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::optional<Flaw> flaw_of(std::span<const double> x, std::span<const double> y,
                            std::size_t least) {
    if (x.size() != y.size()) return Flaw::sizes_differ;
    if (x.size() < least) return Flaw::too_few_points;
    if (!all_finite(x) || !all_finite(y)) return Flaw::not_finite;
    return std::nullopt;
}

// Weighted mean in two passes: the second takes the rounding of the first away.
template <class Weight>
double weighted_mean(std::span<const double> v, double total, Weight weight) {
    double mean = 0.0;
    for (std::size_t i = 0; i < v.size(); ++i) mean += weight(i) * v[i];
    mean /= total;
    double rest = 0.0;
    for (std::size_t i = 0; i < v.size(); ++i) rest += weight(i) * (v[i] - mean);
    return mean + rest / total;
}

template <class Weight>
Checked<StraightLine> centred(std::span<const double> x, std::span<const double> y, Weight weight) {
    const std::size_t n = x.size();
    double total = 0.0;
    for (std::size_t i = 0; i < n; ++i) total += weight(i);
    const double mx = weighted_mean(x, total, weight), my = weighted_mean(y, total, weight);
    double sxx = 0.0, sxy = 0.0, largest = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double dx = x[i] - mx;
        sxx += weight(i) * dx * dx;
        sxy += weight(i) * dx * (y[i] - my);
        largest = std::max(largest, std::abs(x[i]));
    }
    // What is left of equal numbers is their rounding.
    if (!(sxx > total * largest * largest * 1e-28)) return Flaw::equal_abscissae;
    StraightLine line;
    line.points = n;
    line.centre = mx;
    line.slope = sxy / sxx;
    double rest = 0.0, correction = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double dx = x[i] - mx;
        const double r = (y[i] - my) - line.slope * dx;
        correction += weight(i) * dx * r;
    }
    line.slope += correction / sxx;
    line.intercept = my - line.slope * mx;
    line.height = my;
    for (std::size_t i = 0; i < n; ++i) {
        const double r = (y[i] - my) - line.slope * (x[i] - mx);
        rest += weight(i) * r * r;
    }
    line.residual_squares = rest;
    line.explained_squares = line.slope * line.slope * sxx;
    line.slope_variance = 1.0 / sxx;
    line.height_variance = 1.0 / total;
    line.intercept_variance = line.height_variance + mx * mx / sxx;
    line.covariance = -mx / sxx;
    // Squares of huge inputs are no numbers any more.
    const double all = line.intercept + line.intercept_variance + line.slope + rest + mx * mx;
    if (!std::isfinite(all) || !std::isfinite(line.explained_squares)) return Flaw::not_finite;
    return line;
}

void scale(StraightLine& line, double variance) {
    line.residual_variance = variance;
    line.slope_variance *= variance;
    line.intercept_variance *= variance;
    line.height_variance *= variance;
    line.covariance *= variance;
}

}  // namespace

double StraightLine::variance_at(double x) const {
    // About the centre, where height and slope are uncorrelated: no cancellation.
    return height_variance + (x - centre) * (x - centre) * slope_variance;
}

Checked<double> StraightLine::f_statistic() const {
    if (!std::isfinite(explained_squares)) return Flaw::not_finite;
    if (std::isinf(degrees)) return explained_squares;
    if (!(residual_variance > 0.0)) return Flaw::not_positive;
    return explained_squares / residual_variance;
}

Checked<double> StraightLine::r_squared() const {
    const double all = explained_squares + residual_squares;
    if (!std::isfinite(all)) return Flaw::not_finite;
    if (!(all > 0.0)) return Flaw::not_positive;
    return explained_squares / all;
}

Checked<StraightLine> line_of_equal(std::span<const double> x, std::span<const double> y) {
    if (const auto flaw = flaw_of(x, y, 3)) return *flaw;
    auto line = centred(x, y, [](std::size_t) { return 1.0; });
    if (!line) return line;
    line->degrees = static_cast<double>(x.size() - 2);
    scale(*line, line->residual_squares / line->degrees);
    return line;
}

Checked<StraightLine> line_of_weighted(std::span<const double> x, std::span<const double> y,
                                       std::span<const double> deviations) {
    if (const auto flaw = flaw_of(x, y, 2)) return *flaw;
    if (deviations.size() != x.size()) return Flaw::sizes_differ;
    if (!all_finite(deviations)) return Flaw::not_finite;
    for (const double u : deviations) {
        if (!(u > 0.0)) return Flaw::not_positive;
    }
    auto line = centred(x, y, [&](std::size_t i) { return 1.0 / (deviations[i] * deviations[i]); });
    if (!line) return line;
    line->degrees = infinity;
    return line;
}

namespace {

// Variance of the mean of so many new readings.
Checked<double> scatter_of_new(const StraightLine& line, double readings,
                               std::optional<double> deviation) {
    if (!(readings > 0.0)) return Flaw::out_of_domain;
    if (deviation && !std::isfinite(*deviation)) return Flaw::not_finite;
    if (deviation ? *deviation < 0.0 : std::isinf(line.degrees)) return Flaw::not_positive;
    return (deviation ? *deviation * *deviation : line.residual_variance) / readings;
}

}  // namespace

Checked<double> prediction_half_width(const StraightLine& line, double x, double readings,
                                      double coverage, std::optional<double> deviation) {
    if (!std::isfinite(x)) return Flaw::not_finite;
    const auto scatter = scatter_of_new(line, readings, deviation);
    if (!scatter) return scatter.error();
    const auto k = coverage_factor(coverage, line.degrees);
    if (!k) return k.error();
    const double half_width = *k * std::sqrt(*scatter + line.variance_at(x));
    if (!std::isfinite(half_width)) return Flaw::not_finite;
    return half_width;
}

Checked<InversePrediction> inverse_prediction(const StraightLine& line, double y, double readings,
                                              double coverage, std::optional<double> deviation) {
    if (!std::isfinite(y)) return Flaw::not_finite;
    const auto new_scatter = scatter_of_new(line, readings, deviation);
    if (!new_scatter) return new_scatter.error();
    const double scatter = *new_scatter;
    const auto k = coverage_factor(coverage, line.degrees);
    if (!k) return k.error();
    if (line.slope == 0.0) return Flaw::empty_interval;
    InversePrediction result;
    result.x = line.centre + (y - line.height) / line.slope;
    result.standard = std::sqrt(scatter + line.variance_at(result.x)) / std::abs(line.slope);
    // Fieller: all d = x - centre with (h - slope d)^2 <= k^2 (scatter + height + d^2 v).
    const double v = line.slope_variance, k2 = *k * *k;
    const double leading = line.slope * line.slope - k2 * v;
    if (leading <= 0.0) return Flaw::empty_interval;
    const double h = y - line.height;
    const double height = line.height_variance;
    const double root = std::sqrt(k2 * (v * h * h + leading * (scatter + height)));
    result.low = line.centre + (line.slope * h - root) / leading;
    result.high = line.centre + (line.slope * h + root) / leading;
    if (!std::isfinite(result.standard + result.low + result.high)) return Flaw::not_finite;
    return result;
}

Checked<LackOfFit> lack_of_fit(std::span<const double> x, std::span<const double> y) {
    const auto line = line_of_equal(x, y);
    if (!line) return line.error();
    std::vector<std::size_t> order(x.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](auto a, auto b) { return x[a] < x[b]; });
    double repeated = 0.0, levels = 0.0;
    for (std::size_t i = 0; i < order.size();) {
        std::size_t end = i;
        double sum = 0.0;
        for (; end < order.size() && x[order[end]] == x[order[i]]; ++end) sum += y[order[end]];
        const double mean = sum / static_cast<double>(end - i);
        for (; i < end; ++i) repeated += (y[order[i]] - mean) * (y[order[i]] - mean);
        levels += 1.0;
    }
    LackOfFit result;
    result.numerator_degrees = levels - 2.0;
    result.denominator_degrees = static_cast<double>(x.size()) - levels;
    if (result.numerator_degrees < 1.0 || result.denominator_degrees < 1.0) {
        return Flaw::too_few_points;
    }
    if (repeated <= 0.0) return Flaw::not_positive;
    const double lack = std::max(0.0, line->residual_squares - repeated);
    result.f = (lack / result.numerator_degrees) / (repeated / result.denominator_degrees);
    const auto p =
        fisher_upper_probability(result.f, result.numerator_degrees, result.denominator_degrees);
    if (!p) return p.error();
    result.significance = *p;
    return result;
}

}  // namespace padtrim::statistics
