#include "db/statistics/least_squares.hpp"

#include <optional>

#include <eigen3/Eigen/Cholesky>
#include <eigen3/Eigen/Dense>
#include <eigen3/Eigen/QR>

namespace padtrim::statistics {

namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic>;
using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Vector = Eigen::VectorXd;
using ConstRows = Eigen::Map<const RowMajor>;
using ConstColumn = Eigen::Map<const Vector>;

std::optional<Flaw> flaw_of(std::span<const double> design, std::size_t unknowns,
                            std::span<const double> observed) {
    if (unknowns == 0 || observed.size() < unknowns) return Flaw::too_few_points;
    if (design.size() != unknowns * observed.size()) return Flaw::sizes_differ;
    if (!all_finite(design) || !all_finite(observed)) return Flaw::not_finite;
    return std::nullopt;
}

struct Solved {
    Vector estimate;
    Matrix inverse;  // of R, columns scaled back: covariance = inverse inverse^T
};

// Columns are brought to unit length first: then the condition number is near its smallest, and a
// dependent column shows in the pivots.
Checked<Solved> solve(Matrix design, const Vector& observed) {
    const Vector lengths = design.colwise().norm();
    if ((lengths.array() <= 0.0).any()) return Flaw::dependent_columns;
    const Vector scale = lengths.cwiseInverse();
    design = design * scale.asDiagonal();
    Eigen::ColPivHouseholderQR<Matrix> factors(design);
    factors.setThreshold(1e-13);
    if (factors.rank() < design.cols()) return Flaw::dependent_columns;
    Vector estimate = factors.solve(observed);
    // One refinement step wins back digits that the factorisation lost.
    estimate += factors.solve(observed - design * estimate);
    const auto n = design.cols();
    Matrix inverse =
        factors.matrixR().topLeftCorner(n, n).template triangularView<Eigen::Upper>().solve(
            Matrix::Identity(n, n));
    inverse = factors.colsPermutation() * inverse;
    Solved solved;
    solved.estimate = estimate.cwiseProduct(scale);
    solved.inverse = scale.asDiagonal() * inverse;
    return solved;
}

std::vector<double> to_rows(const Matrix& matrix) {
    std::vector<double> rows(static_cast<std::size_t>(matrix.size()));
    Eigen::Map<RowMajor>(rows.data(), matrix.rows(), matrix.cols()) = matrix;
    return rows;
}

void fill(LeastSquares& result, const Solved& solved, const Vector& observed,
          const Vector& fitted) {
    const Vector residuals = observed - fitted;
    result.estimate.assign(solved.estimate.begin(), solved.estimate.end());
    result.covariance = to_rows(solved.inverse * solved.inverse.transpose());
    result.residuals.assign(residuals.begin(), residuals.end());
    result.degrees = static_cast<double>(observed.size() - solved.estimate.size());
}

}  // namespace

Checked<LeastSquares> fit_equal(std::span<const double> design, std::size_t unknowns,
                                std::span<const double> observed) {
    if (const auto flaw = flaw_of(design, unknowns, observed)) return *flaw;
    if (observed.size() == unknowns) return Flaw::too_few_points;
    const ConstRows rows(design.data(), observed.size(), unknowns);
    const ConstColumn y(observed.data(), observed.size());
    const Checked<Solved> solved = solve(rows, y);
    if (!solved) return solved.error();
    LeastSquares result;
    fill(result, *solved, y, rows * solved->estimate);
    for (const double r : result.residuals) result.residual_squares += r * r;
    const double variance = result.residual_squares / result.degrees;
    for (double& c : result.covariance) c *= variance;
    return result;
}

Checked<LeastSquares> fit_weighted(std::span<const double> design, std::size_t unknowns,
                                   std::span<const double> observed,
                                   std::span<const double> deviations) {
    if (const auto flaw = flaw_of(design, unknowns, observed)) return *flaw;
    if (deviations.size() != observed.size()) return Flaw::sizes_differ;
    if (!all_finite(deviations)) return Flaw::not_finite;
    const ConstRows rows(design.data(), observed.size(), unknowns);
    const ConstColumn y(observed.data(), observed.size());
    const ConstColumn u(deviations.data(), deviations.size());
    if ((u.array() <= 0.0).any()) return Flaw::not_positive;
    const Vector w = u.cwiseInverse();
    const Checked<Solved> solved = solve(w.asDiagonal() * rows, w.cwiseProduct(y));
    if (!solved) return solved.error();
    LeastSquares result;
    fill(result, *solved, y, rows * solved->estimate);
    for (std::size_t i = 0; i < result.residuals.size(); ++i) {
        const double scaled = result.residuals[i] / deviations[i];
        result.residual_squares += scaled * scaled;
    }
    return result;
}

Checked<Generalised> fit_generalised(std::span<const double> design, std::size_t unknowns,
                                     std::span<const double> observed,
                                     std::span<const double> covariance) {
    if (const auto flaw = flaw_of(design, unknowns, observed)) return *flaw;
    if (covariance.size() != observed.size() * observed.size()) return Flaw::sizes_differ;
    if (!all_finite(covariance)) return Flaw::not_finite;
    const ConstRows rows(design.data(), observed.size(), unknowns);
    const ConstColumn y(observed.data(), observed.size());
    const ConstRows v(covariance.data(), observed.size(), observed.size());
    const Eigen::LLT<Matrix> factor(v);
    if (factor.info() != Eigen::Success) return Flaw::not_positive;
    const Checked<Solved> solved = solve(factor.matrixL().solve(rows), factor.matrixL().solve(y));
    if (!solved) return solved.error();
    Generalised result;
    fill(result, *solved, y, rows * solved->estimate);
    const Vector whitened =
        factor.matrixL().solve(ConstColumn(result.residuals.data(), result.residuals.size()));
    result.residual_squares = whitened.squaredNorm();
    // map = C X^T V^-1
    const Matrix c = solved->inverse * solved->inverse.transpose();
    result.map = to_rows(c * factor.solve(Matrix(rows)).transpose());
    return result;
}

}  // namespace padtrim::statistics
