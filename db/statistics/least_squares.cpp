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

namespace {

bool is_diagonal(const ConstRows& v) {
    for (Eigen::Index i = 0; i < v.rows(); ++i) {
        for (Eigen::Index k = 0; k < i; ++k) {
            if (v(i, k) != 0.0 || v(k, i) != 0.0) return false;
        }
    }
    return true;
}

// Whitening L^-1 of V = L L^T; only a division by rows where V is diagonal. Sizes bounded at
// compile time keep the usual small fit off the heap.
template <class Square, class Design, class Column>
class Whitening {
  public:
    explicit Whitening(const ConstRows& v) : diagonal_(is_diagonal(v)) {
        if (diagonal_) {
            positive_ = (v.diagonal().array() > 0.0).all();
            if (positive_) deviations_ = v.diagonal().cwiseSqrt();
            return;
        }
        factor_.compute(v);
        positive_ = factor_.info() == Eigen::Success;
    }
    [[nodiscard]] bool positive() const { return positive_; }
    template <class M>
    void apply(M& m) const {
        if (diagonal_) {
            m.array().colwise() /= deviations_.array();
        } else {
            factor_.matrixL().solveInPlace(m);
        }
    }
    template <class M>
    void apply_transposed(M& m) const {
        if (diagonal_) {
            m.array().colwise() /= deviations_.array();
        } else {
            factor_.matrixU().solveInPlace(m);
        }
    }

  private:
    bool diagonal_ = false, positive_ = false;
    Column deviations_;
    Eigen::LLT<Square> factor_;
};

template <int MostRows, int MostColumns>
Checked<Generalised> generalised(const ConstRows& rows, const ConstColumn& y, const ConstRows& v) {
    constexpr int any = Eigen::Dynamic;
    using Square = Eigen::Matrix<double, any, any, 0, MostRows, MostRows>;
    using Design = Eigen::Matrix<double, any, any, 0, MostRows, MostColumns>;
    using Small = Eigen::Matrix<double, any, any, 0, MostColumns, MostColumns>;
    using Column = Eigen::Matrix<double, any, 1, 0, MostRows, 1>;
    using Estimate = Eigen::Matrix<double, any, 1, 0, MostColumns, 1>;
    const Whitening<Square, Design, Column> whitening(v);
    if (!whitening.positive()) return Flaw::not_positive;
    Design x = rows;
    Column z = y;
    whitening.apply(x);
    whitening.apply(z);
    const Estimate lengths = x.colwise().norm();
    if ((lengths.array() <= 0.0).any()) return Flaw::dependent_columns;
    x.array().rowwise() /= lengths.transpose().array();
    const Eigen::HouseholderQR<Design> factors(x);
    const auto p = rows.cols();
    const Small r = factors.matrixQR().topRows(p).template triangularView<Eigen::Upper>();
    if ((r.diagonal().array().abs() <= 1e-13).any()) return Flaw::dependent_columns;
    Small inverse = Small::Identity(p, p);
    r.template triangularView<Eigen::Upper>().solveInPlace(inverse);
    // estimate = (R^-1 Q^T) L^-1 y, the map itself being R^-1 Q^T L^-1
    Design q = Design::Identity(rows.rows(), p);
    factors.householderQ().applyThisOnTheLeft(q);
    inverse.array().colwise() /= lengths.array();
    const Estimate estimate = inverse * (q.transpose() * z);
    const Column residuals = y - rows * estimate;
    Column whitened = residuals;
    whitening.apply(whitened);
    Design map = q * inverse.transpose();
    whitening.apply_transposed(map);
    Generalised result;
    result.estimate.assign(estimate.begin(), estimate.end());
    result.residuals.assign(residuals.begin(), residuals.end());
    result.residual_squares = whitened.squaredNorm();
    result.degrees = static_cast<double>(rows.rows() - p);
    result.covariance.resize(static_cast<std::size_t>(p * p));
    Eigen::Map<RowMajor>(result.covariance.data(), p, p) = inverse * inverse.transpose();
    result.map.resize(static_cast<std::size_t>(map.size()));
    Eigen::Map<RowMajor>(result.map.data(), p, rows.rows()) = map.transpose();
    return result;
}

}  // namespace

Checked<Generalised> fit_generalised(std::span<const double> design, std::size_t unknowns,
                                     std::span<const double> observed,
                                     std::span<const double> covariance) {
    if (const auto flaw = flaw_of(design, unknowns, observed)) return *flaw;
    if (covariance.size() != observed.size() * observed.size()) return Flaw::sizes_differ;
    if (!all_finite(covariance)) return Flaw::not_finite;
    if (!symmetric(covariance, observed.size())) return Flaw::not_symmetric;
    const ConstRows rows(design.data(), observed.size(), unknowns);
    const ConstColumn y(observed.data(), observed.size());
    const ConstRows v(covariance.data(), observed.size(), observed.size());
    constexpr int usual_rows = 24, usual_columns = 4;
    if (rows.rows() <= usual_rows && rows.cols() <= usual_columns) {
        return generalised<usual_rows, usual_columns>(rows, y, v);
    }
    return generalised<Eigen::Dynamic, Eigen::Dynamic>(rows, y, v);
}

}  // namespace padtrim::statistics
