#include "db/statistics/least_squares.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory_resource>
#include <optional>

#include <eigen3/Eigen/Dense>
#include <eigen3/Eigen/QR>

#include "db/statistics/cholesky.hpp"

namespace padtrim::statistics {

namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic>;
using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Vector = Eigen::VectorXd;
using ConstRows = Eigen::Map<const RowMajor>;
using Column = Eigen::Map<Vector>;
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
    const Matrix r = factors.matrixR().topLeftCorner(n, n);
    Matrix inverse = Matrix::Identity(n, n);
    for (Eigen::Index j = 0; j < n; ++j) {
        Column unit(inverse.data() + j * n, n);
        r.triangularView<Eigen::Upper>().solveInPlace(unit);
    }
    inverse = factors.colsPermutation() * inverse;
    Solved solved;
    solved.estimate = estimate.cwiseProduct(scale);
    solved.inverse = scale.asDiagonal() * inverse;
    return solved;
}

void fill(LeastSquares& result, const Solved& solved, const Vector& observed,
          const Vector& fitted) {
    const Vector residuals = observed - fitted;
    result.estimate.assign(solved.estimate.begin(), solved.estimate.end());
    const Eigen::Index p = solved.inverse.rows();
    result.covariance.resize(static_cast<std::size_t>(p * p));
    Eigen::Map<RowMajor>(result.covariance.data(), p, p) =
        solved.inverse.lazyProduct(solved.inverse.transpose());
    result.residuals.assign(residuals.begin(), residuals.end());
    result.degrees = static_cast<double>(observed.size() - solved.estimate.size());
}

// Squares of huge inputs are no numbers any more.
bool finite(const LeastSquares& fit) {
    return all_finite({fit.estimate.data(), fit.estimate.size()}) &&
           all_finite({fit.covariance.data(), fit.covariance.size()}) &&
           std::isfinite(fit.residual_squares);
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
    if (!finite(result)) return Flaw::not_finite;
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
    if (!finite(result)) return Flaw::not_finite;
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

// The usual small fit stays off the heap.
class Memory {
  public:
    [[nodiscard]] std::pmr::vector<double> take(Eigen::Index size) {
        return std::pmr::vector<double>(static_cast<std::size_t>(size), &resource_);
    }

  private:
    std::array<std::byte, 4096> near_;
    std::pmr::monotonic_buffer_resource resource_{near_.data(), near_.size()};
};

// Whitening L^-1 of V = L L^T; only a scale of each row where V is diagonal.
class Whitening {
  public:
    Whitening(const ConstRows& v, Memory& memory)
        : rows_(v.rows()),
          diagonal_(is_diagonal(v)),
          held_(memory.take(diagonal_ ? v.rows() : v.size())) {
        if (diagonal_) {
            std::copy(v.diagonal().begin(), v.diagonal().end(), held_.begin());
            positive_ = (v.diagonal().array() > 0.0).all();
            for (double& each : held_) each = 1.0 / std::sqrt(each);
            return;
        }
        std::copy(v.data(), v.data() + v.size(), held_.begin());
        positive_ = cholesky(held_, static_cast<std::size_t>(rows_));
    }
    [[nodiscard]] bool positive() const { return positive_; }
    void apply(Column column) {
        if (diagonal_) return scale_rows(column);
        whiten(held_, {column.data(), static_cast<std::size_t>(rows_)});
    }
    void apply_transposed(Column column) {
        if (diagonal_) return scale_rows(column);
        whiten_transposed(held_, {column.data(), static_cast<std::size_t>(rows_)});
    }

  private:
    void scale_rows(Column column) const {
        for (Eigen::Index i = 0; i < rows_; ++i) column[i] *= held_[static_cast<std::size_t>(i)];
    }
    Eigen::Index rows_;
    bool diagonal_, positive_ = false;
    std::pmr::vector<double> held_;
};

// Columns q with q^T q = 1, and R with q R = what stood in q. Gram-Schmidt, each column taken
// twice, is orthogonal to machine precision (Giraud and others, Numer. Math. 101, 2005); for few
// columns it costs less than reflections. False when a column depends on those before it.
template <class Tall, class Square>
bool orthogonalise(Eigen::Map<Tall>& q, Square& r) {
    r.setZero();
    for (Eigen::Index j = 0; j < q.cols(); ++j) {
        auto column = q.col(j);
        const double length = column.norm();
        for (int pass = 0; pass < 2; ++pass) {
            for (Eigen::Index i = 0; i < j; ++i) {
                const double along = q.col(i).dot(column);
                r(i, j) += along;
                column -= along * q.col(i);
            }
        }
        r(j, j) = column.norm();
        if (!(r(j, j) > 1e-13 * length)) return false;
        column /= r(j, j);
    }
    return true;
}

// `unknowns`: as many as there are, when the compiler knows them, so that loops over them unroll.
template <int unknowns>
Checked<Generalised> generalised(const ConstRows& rows, const ConstColumn& y, const ConstRows& v) {
    Memory memory;
    Whitening whitening(v, memory);
    if (!whitening.positive()) return Flaw::not_positive;
    const Eigen::Index n = rows.rows(), p = rows.cols();
    std::pmr::vector<double> room = memory.take(n * p + n);
    Eigen::Map<Eigen::Matrix<double, Eigen::Dynamic, unknowns>> q(room.data(), n, p);
    Eigen::Matrix<double, unknowns, unknowns> r(p, p), inverse(p, p);
    Column z(&q(0, 0) + n * p, n);
    q = rows;
    for (Eigen::Index j = 0; j < p; ++j) whitening.apply({&q(0, j), n});
    if (!orthogonalise(q, r)) return Flaw::dependent_columns;
    inverse.setIdentity();
    for (Eigen::Index j = 0; j < p; ++j) {
        Eigen::Map<Eigen::Matrix<double, unknowns, 1>> unit(&inverse(0, j), p);
        r.template triangularView<Eigen::Upper>().solveInPlace(unit);
    }
    Generalised result;
    result.degrees = static_cast<double>(n - p);
    result.estimate.resize(static_cast<std::size_t>(p));
    result.residuals.resize(static_cast<std::size_t>(n));
    result.covariance.resize(static_cast<std::size_t>(p * p));
    result.map.resize(static_cast<std::size_t>(p * n));
    // estimate = (R^-1 Q^T) L^-1 y, the map itself being R^-1 Q^T L^-1
    z = y;
    whitening.apply({z.data(), n});
    Column estimate(result.estimate.data(), p), residuals(result.residuals.data(), n);
    estimate = inverse.lazyProduct(q.transpose() * z);
    residuals = y - rows * estimate;
    z = residuals;
    whitening.apply({z.data(), n});
    result.residual_squares = z.squaredNorm();
    Eigen::Map<RowMajor>(result.covariance.data(), p, p) = inverse.lazyProduct(inverse.transpose());
    for (Eigen::Index j = 0; j < p; ++j) {
        Column row(result.map.data() + j * n, n);
        row = q.lazyProduct(inverse.row(j).transpose());
        whitening.apply_transposed({row.data(), n});
    }
    if (!finite(result)) return Flaw::not_finite;
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
    switch (unknowns) {
        case 2:
            return generalised<2>(rows, y, v);
        case 3:
            return generalised<3>(rows, y, v);
        default:
            return generalised<Eigen::Dynamic>(rows, y, v);
    }
}

}  // namespace padtrim::statistics
