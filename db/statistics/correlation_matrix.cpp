#include "db/statistics/correlation_matrix.hpp"

#include <eigen3/Eigen/Eigenvalues>

namespace padtrim::statistics {

bool are_possible(std::size_t inputs, std::span<const PairCorrelation> correlations) {
    if (correlations.empty()) return true;
    constexpr double rounding = 1e-9;
    const auto n = static_cast<Eigen::Index>(inputs);
    Eigen::MatrixXd matrix = Eigen::MatrixXd::Identity(n, n);
    for (const PairCorrelation& each : correlations) {
        const auto i = static_cast<Eigen::Index>(each.first);
        const auto j = static_cast<Eigen::Index>(each.second);
        matrix(i, j) = matrix(j, i) = each.coefficient;
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix, Eigen::EigenvaluesOnly);
    return solver.eigenvalues().minCoeff() > -rounding;
}

}  // namespace padtrim::statistics
