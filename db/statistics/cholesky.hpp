// The triangular factor of a small covariance matrix: plain loops, faster than blocked ones where a
// matrix has a few rows (Golub and Van Loan, Matrix Computations, 4.2). Internal to the room; pure.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>

namespace padtrim::statistics {

inline double dot(std::span<const double> a, std::span<const double> b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
    return sum;
}

// v = L L^T in the lower triangle, row-major; false when v is not positive definite.
inline bool cholesky(std::span<double> v, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k <= i; ++k) {
            const double s = v[i * n + k] - dot(v.subspan(i * n, k), v.subspan(k * n, k));
            if (k < i) {
                v[i * n + k] = s / v[k * n + k];
                continue;
            }
            if (!(s > 0.0)) return false;
            v[i * n + i] = std::sqrt(s);
        }
    }
    return true;
}

// L^-1 column, in place.
inline void whiten(std::span<const double> factor, std::span<double> column) {
    const std::size_t n = column.size();
    for (std::size_t i = 0; i < n; ++i) {
        const double s = column[i] - dot(factor.subspan(i * n, i), column.first(i));
        column[i] = s / factor[i * n + i];
    }
}

// L^-T column, in place.
inline void whiten_transposed(std::span<const double> factor, std::span<double> column) {
    const std::size_t n = column.size();
    for (std::size_t i = n; i-- > 0;) {
        column[i] /= factor[i * n + i];
        for (std::size_t k = 0; k < i; ++k) column[k] -= factor[i * n + k] * column[i];
    }
}

}  // namespace padtrim::statistics
