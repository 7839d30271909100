// Linear least squares with any columns, by orthogonal factorisation.
//
// A design matrix is row-major, `unknowns` numbers a row. Three kinds of errors: equal and unknown
// (the residuals give their size), known weights, and a known covariance matrix of the
// observations (generalised least squares). Pure and thread safe; Eigen stays in the .cpp.
// Formulas: Golub and Van Loan, Matrix Computations, chapter 5; JCGM 100 H.3 for the first kind.
#pragma once

#include <cstddef>
#include <span>

#include <boost/container/small_vector.hpp>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Numbers of the usual small fit stand in the result itself.
template <std::size_t usual>
using Numbers = boost::container::small_vector<double, usual>;

struct LeastSquares {
    Numbers<4> estimate;
    Numbers<16> covariance;         // row-major; see the function for what it is scaled with
    Numbers<16> residuals;          // observed less fitted
    double residual_squares = 0.0;  // weighted where there are weights
    double degrees = 0.0;           // rows less unknowns
    [[nodiscard]] double variance(std::size_t i) const {
        return covariance[i * estimate.size() + i];
    }
    [[nodiscard]] double covariance_of(std::size_t i, std::size_t k) const {
        return covariance[i * estimate.size() + k];
    }
};

// Equal errors of unknown size: the covariance is scaled with residual_squares / degrees, so there
// must be more rows than unknowns.
[[nodiscard]] Checked<LeastSquares> fit_equal(std::span<const double> design, std::size_t unknowns,
                                              std::span<const double> observed);

// Known standard deviations, independent: the covariance is not scaled; rows may equal unknowns.
[[nodiscard]] Checked<LeastSquares> fit_weighted(std::span<const double> design,
                                                 std::size_t unknowns,
                                                 std::span<const double> observed,
                                                 std::span<const double> deviations);

// Known covariance matrix of the observations (row-major, positive definite). Also returns the
// linear map from observations to estimates, so that each source of error can be followed.
struct Generalised : LeastSquares {
    Numbers<48> map;  // unknowns x rows, row-major
};
[[nodiscard]] Checked<Generalised> fit_generalised(std::span<const double> design,
                                                   std::size_t unknowns,
                                                   std::span<const double> observed,
                                                   std::span<const double> covariance);

}  // namespace padtrim::statistics
