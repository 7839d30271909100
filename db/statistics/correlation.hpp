// Correlated readings: what a mean of them is worth.
//
// A filter in the unit makes neighbouring readings alike, so n of them count for fewer. The model
// is a first-order autoregression with lag-one correlation r, correlation r^k at lag k; the
// formulas are exact for it (Priestley, Spectral Analysis and Time Series, 1981, 5.3; the expected
// sums about the sample mean are worked out in docs/uncertainty.md). Pure and thread safe.
#pragma once

#include <cstddef>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Sums about the mean of one stretch of readings taken in a row.
struct Stretch {
    std::size_t count = 0;
    double mean = 0.0;
    double squares = 0.0;  // sum (x_i - m)^2
    double lagged = 0.0;   // sum (x_i - m)(x_i+1 - m)
};
[[nodiscard]] Stretch stretch_of(std::span<const double> readings);

// Lag-one autocorrelation as NIST StRD defines it: lagged / squares, biased towards negative.
[[nodiscard]] Checked<double> lag_one(const Stretch& stretch);

// n Var(mean) / variance of one reading; n divided by it is the effective sample size. NaN for an r
// that is no correlation.
[[nodiscard]] double mean_inflation(std::size_t count, double r);

// Correlation for which the expected ratio of the summed lagged products to the summed squares is
// the one observed over all stretches: without the small-sample bias of lag_one. Within -0.5 to
// 0.98; small negative estimates are kept, for cutting them off would widen every interval of
// independent readings. 0 when nothing varies, NaN when a sum is no number.
[[nodiscard]] double common_correlation(std::span<const Stretch> stretches);
// The same from pooled sums of `stretches` stretches of `count` readings each.
[[nodiscard]] double correlation_from(double lagged, double squares, std::size_t count);

// What the pooled squares say about one reading: its variance without the bias by correlation,
// and the degrees of freedom of that variance.
struct PooledVariance {
    double variance = 0.0;
    double degrees = 0.0;
};
[[nodiscard]] Checked<PooledVariance> pooled_variance(std::span<const Stretch> stretches, double r);

}  // namespace padtrim::statistics
