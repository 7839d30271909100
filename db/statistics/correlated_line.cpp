// A line through readings whose errors are correlated: whitened by the Cholesky factor of their
// covariance, then the orthogonal form of two columns (Golub and Van Loan, chapter 5).
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "db/statistics/cholesky.hpp"
#include "db/statistics/straight_line.hpp"

namespace padtrim::statistics {

namespace {

// Columns of ones, x - centre and y, whitened; `factor` is used up.
Checked<StraightLine> whitened_line(std::span<const double> x, std::span<const double> y,
                                    std::span<double> factor, std::span<double> room) {
    const std::size_t n = x.size();
    if (!cholesky(factor, n)) return Flaw::not_positive;
    double middle = 0.0, largest = 0.0;
    for (const double value : x) {
        middle += value / static_cast<double>(n);
        largest = std::max(largest, std::abs(value));
    }
    const auto ones = room.first(n), across = room.subspan(n, n), up = room.subspan(2 * n, n);
    double spread = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        ones[i] = 1.0;
        across[i] = x[i] - middle;
        up[i] = y[i];
        spread += across[i] * across[i];
    }
    if (!(spread > static_cast<double>(n) * largest * largest * 1e-28)) {
        return Flaw::equal_abscissae;
    }
    whiten(factor, ones);
    whiten(factor, across);
    whiten(factor, up);
    // The weighted centre is where height and slope are uncorrelated.
    const double total = dot(ones, ones), shift = dot(ones, across) / total;
    for (std::size_t i = 0; i < n; ++i) across[i] -= shift * ones[i];
    const double sxx = dot(across, across);
    if (!(sxx > 0.0)) return Flaw::equal_abscissae;
    StraightLine line;
    line.points = n;
    line.centre = middle + shift;
    double height = 0.0;
    // Twice: the second turn takes the rounding of the first away.
    for (int turn = 0; turn < 2; ++turn) {
        const double rise = dot(ones, up) / total, slope = dot(across, up) / sxx;
        height += rise;
        line.slope += slope;
        for (std::size_t i = 0; i < n; ++i) up[i] -= rise * ones[i] + slope * across[i];
    }
    line.height = height;
    line.height_variance = 1.0 / total;
    line.intercept = height - line.slope * line.centre;
    line.residual_squares = dot(up, up);
    line.explained_squares = line.slope * line.slope * sxx;
    line.slope_variance = 1.0 / sxx;
    line.intercept_variance = 1.0 / total + line.centre * line.centre / sxx;
    line.covariance = -line.centre / sxx;
    line.degrees = std::numeric_limits<double>::infinity();
    const double all = line.intercept + line.intercept_variance + line.residual_squares;
    if (!std::isfinite(all + line.explained_squares)) return Flaw::not_finite;
    return line;
}

}  // namespace

Checked<StraightLine> line_of_correlated(std::span<const double> x, std::span<const double> y,
                                         std::span<const double> covariance) {
    const std::size_t n = x.size();
    if (y.size() != n || covariance.size() != n * n) return Flaw::sizes_differ;
    if (n < 2) return Flaw::too_few_points;
    if (!all_finite(x) || !all_finite(y) || !all_finite(covariance)) return Flaw::not_finite;
    if (!symmetric(covariance, n)) return Flaw::not_symmetric;
    constexpr std::size_t usual = 16;  // stays off the heap
    if (n <= usual) {
        std::array<double, usual * usual> factor;
        std::array<double, 3 * usual> room;
        std::copy(covariance.begin(), covariance.end(), factor.begin());
        return whitened_line(x, y, std::span(factor).first(n * n), room);
    }
    std::vector<double> factor(covariance.begin(), covariance.end()), room(3 * n);
    return whitened_line(x, y, factor, room);
}

}  // namespace padtrim::statistics
