#include "db/statistics/correlation.hpp"

#include <algorithm>
#include <cmath>

namespace padtrim::statistics {

Stretch stretch_of(std::span<const double> readings) {
    Stretch result;
    result.count = readings.size();
    if (readings.empty()) return result;
    const double n = static_cast<double>(readings.size());
    double sum = 0.0;
    for (const double x : readings) sum += x - readings[0];
    // About the first reading: the mean keeps the digits that all readings have in common.
    const double mean = sum / n;
    result.mean = readings[0] + mean;
    double previous = 0.0, rest = 0.0;
    for (const double x : readings) {
        const double d = (x - readings[0]) - mean;
        rest += d;
        result.squares += d * d;
        result.lagged += d * previous;
        previous = d;
    }
    const double squares = result.squares - rest * rest / n;
    result.squares = squares < 0.0 ? 0.0 : squares;  // what is no number stays none
    return result;
}

Checked<double> lag_one(const Stretch& stretch) {
    if (stretch.count < 2) return Flaw::too_few_points;
    if (!std::isfinite(stretch.squares) || !std::isfinite(stretch.lagged)) return Flaw::not_finite;
    if (stretch.squares <= 0.0) return Flaw::not_positive;
    return stretch.lagged / stretch.squares;
}

namespace {

double whole_power(double base, std::size_t exponent) {
    double result = 1.0;
    for (; exponent > 0; exponent >>= 1U) {
        if ((exponent & 1U) != 0U) result *= base;
        base *= base;
    }
    return result;
}

}  // namespace

double mean_inflation(std::size_t count, double r) {
    if (!(std::abs(r) < 1.0)) return std::nan("");
    if (count < 2 || r == 0.0) return 1.0;
    // 1 + 2 sum_k (1 - k/n) r^k, summed in closed form.
    const double n = static_cast<double>(count);
    const double rest = 1.0 - r;
    return (1.0 + r) / rest - 2.0 * r * (1.0 - whole_power(r, count)) / (n * rest * rest);
}

namespace {

struct Expected {
    double squares;  // over the variance of one reading
    double lagged;
};

// Expected sums about the sample mean of n readings with correlations r^k.
Expected expected_sums(std::size_t count, double r) {
    const double n = static_cast<double>(count);
    const double mean_variance = mean_inflation(count, r) / n;
    const double with_first = (r == 0.0 ? 1.0 : (1.0 - whole_power(r, count)) / (1.0 - r)) / n;
    return {n - n * mean_variance, (n - 1.0) * r - (n + 1.0) * mean_variance + 2.0 * with_first};
}

constexpr double lowest_correlation = -0.5, highest_correlation = 0.98;

template <class ExpectedRatio>
double solve_for_correlation(double observed, ExpectedRatio&& ratio) {
    double low = lowest_correlation, high = highest_correlation;
    double below = ratio(low) - observed, above = ratio(high) - observed;
    if (below >= 0.0) return low;
    if (above <= 0.0) return high;
    // The ratio grows with r: regula falsi in the Illinois form, which settles within ten steps.
    double middle = low;
    int side = 0;
    for (int i = 0; i < 60 && high - low > 1e-10; ++i) {
        middle = (low * above - high * below) / (above - below);
        const double there = ratio(middle) - observed;
        if (std::abs(there) < 1e-13) break;
        if (there < 0.0) {
            low = middle;
            below = there;
            if (side == -1) above *= 0.5;
            side = -1;
        } else {
            high = middle;
            above = there;
            if (side == 1) below *= 0.5;
            side = 1;
        }
    }
    return middle;
}

}  // namespace

double correlation_from(double lagged, double squares, std::size_t count) {
    if (!std::isfinite(lagged) || !std::isfinite(squares)) return std::nan("");
    if (!(squares > 0.0) || count < 3) return 0.0;
    return solve_for_correlation(lagged / squares, [count](double r) {
        const Expected e = expected_sums(count, r);
        return e.lagged / e.squares;
    });
}

double common_correlation(std::span<const Stretch> stretches) {
    double lagged = 0.0, squares = 0.0;
    for (const Stretch& s : stretches) {
        if (s.count < 3) continue;
        lagged += s.lagged;
        squares += s.squares;
    }
    if (!std::isfinite(lagged) || !std::isfinite(squares)) return std::nan("");
    if (!(squares > 0.0)) return 0.0;
    return solve_for_correlation(lagged / squares, [&stretches](double r) {
        double expected_lagged = 0.0, expected_squares = 0.0;
        std::size_t last = 0;
        Expected e{0.0, 0.0};
        for (const Stretch& s : stretches) {
            if (s.count < 3) continue;
            if (s.count != last) e = expected_sums(s.count, r);
            last = s.count;
            expected_lagged += e.lagged;
            expected_squares += e.squares;
        }
        return expected_lagged / expected_squares;
    });
}

Checked<PooledVariance> pooled_variance(std::span<const Stretch> stretches, double r) {
    double squares = 0.0, degrees = 0.0;
    if (!std::isfinite(r)) return Flaw::not_finite;
    if (!(std::abs(r) < 1.0)) return Flaw::out_of_domain;
    for (const Stretch& s : stretches) {
        if (s.count < 2) continue;
        squares += s.squares;
        degrees += static_cast<double>(s.count) - mean_inflation(s.count, r);
    }
    if (!std::isfinite(squares)) return Flaw::not_finite;
    if (degrees <= 0.0) return Flaw::too_few_points;
    // Squares of correlated readings are themselves correlated, r^2k at lag k.
    const double worth = (1.0 - r * r) / (1.0 + r * r);
    return PooledVariance{squares / degrees, degrees * worth};
}

}  // namespace padtrim::statistics
