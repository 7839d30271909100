#include "db/statistics/run_length.hpp"

#include <cmath>
#include <vector>

#include <boost/math/quadrature/gauss.hpp>
#include <eigen3/Eigen/LU>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

namespace {

struct Nodes {
    std::vector<double> at, weight;
};

// Gauss-Legendre on equal panels: enough for kernels a fiftieth as wide as the interval.
Nodes nodes_between(double low, double high) {
    using Rule = boost::math::quadrature::gauss<double, 30>;
    constexpr int panels = 4;
    const double half = (high - low) / (2.0 * panels);
    Nodes nodes;
    for (int panel = 0; panel < panels; ++panel) {
        const double middle = low + (2.0 * panel + 1.0) * half;
        for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
            for (const double side : {-1.0, 1.0}) {
                nodes.at.push_back(middle + side * half * Rule::abscissa()[i]);
                nodes.weight.push_back(half * Rule::weights()[i]);
            }
        }
    }
    return nodes;
}

Checked<double> sound(double length) {
    if (!std::isfinite(length) || length < 1.0 - 1e-9) return Flaw::no_convergence;
    return length;
}

// One arm, L(u) = 1 + L(0) P(x <= k - u) + Int[0, h] L(x) f(x + k - u) dx; L at 0 and at a start.
struct Arm {
    double from_zero = 0.0, from_start = 0.0;
};

Arm arm_of(const CusumPlan& plan, double shift) {
    const Nodes nodes = nodes_between(0.0, plan.h);
    const auto count = static_cast<Eigen::Index>(nodes.at.size());
    const auto stay = [&](double u) { return normal_probability(plan.k - u - shift); };
    const auto kernel = [&](double u, std::size_t i) {
        return nodes.weight[i] * normal_density(nodes.at[i] + plan.k - u - shift);
    };
    Eigen::MatrixXd system = Eigen::MatrixXd::Identity(count + 1, count + 1);
    for (Eigen::Index row = 0; row <= count; ++row) {
        const double u = row == 0 ? 0.0 : nodes.at[static_cast<std::size_t>(row - 1)];
        system(row, 0) -= stay(u);
        for (Eigen::Index i = 0; i < count; ++i)
            system(row, i + 1) -= kernel(u, static_cast<std::size_t>(i));
    }
    const Eigen::VectorXd lengths = system.partialPivLu().solve(Eigen::VectorXd::Ones(count + 1));
    Arm arm{lengths(0), 1.0 + lengths(0) * stay(plan.head_start)};
    for (Eigen::Index i = 0; i < count; ++i)
        arm.from_start += lengths(i + 1) * kernel(plan.head_start, static_cast<std::size_t>(i));
    return arm;
}

Checked<void> sensible(const CusumPlan& plan, double shift) {
    if (!std::isfinite(plan.k) || !std::isfinite(plan.h) || !std::isfinite(plan.head_start) ||
        !std::isfinite(shift))
        return Flaw::not_finite;
    const bool chart = plan.k >= 0.0 && plan.h > 0.0 && plan.h <= 50.0 && plan.head_start >= 0.0 &&
                       plan.head_start < plan.h;
    if (!chart) return Flaw::out_of_domain;
    return {};
}

}  // namespace

Checked<double> shewhart_run_length(double width, double shift) {
    if (!std::isfinite(width) || !std::isfinite(shift)) return Flaw::not_finite;
    if (!(width > 0.0)) return Flaw::out_of_domain;
    return sound(1.0 / (normal_probability(shift - width) + normal_probability(-shift - width)));
}

Checked<double> upper_cusum_run_length(const CusumPlan& plan, double shift) {
    if (const auto ok = sensible(plan, shift); !ok) return ok.error();
    return sound(arm_of(plan, shift).from_start);
}

Checked<double> cusum_run_length(const CusumPlan& plan, double shift) {
    if (const auto ok = sensible(plan, shift); !ok) return ok.error();
    const Arm up = arm_of(plan, shift), down = arm_of(plan, -shift);
    // An arm that hardly ever signals adds nothing, and its length may be no number.
    if (!(down.from_zero < 1e14) || !(down.from_start > 0.0)) return sound(up.from_start);
    if (!(up.from_zero < 1e14) || !(up.from_start > 0.0)) return sound(down.from_start);
    return sound((up.from_start * down.from_zero + up.from_zero * down.from_start -
                  up.from_zero * down.from_zero) /
                 (up.from_zero + down.from_zero));
}

Checked<double> ewma_run_length(const EwmaPlan& plan, double shift) {
    if (!std::isfinite(plan.lambda) || !std::isfinite(plan.width) || !std::isfinite(shift))
        return Flaw::not_finite;
    if (!(plan.lambda >= 0.01 && plan.lambda <= 1.0 && plan.width > 0.0))
        return Flaw::out_of_domain;
    const double limit = plan.width * std::sqrt(plan.lambda / (2.0 - plan.lambda));
    const Nodes nodes = nodes_between(-limit, limit);
    const auto count = static_cast<Eigen::Index>(nodes.at.size());
    const auto kernel = [&](double u, std::size_t i) {
        const double z = (nodes.at[i] - (1.0 - plan.lambda) * u) / plan.lambda - shift;
        return nodes.weight[i] * normal_density(z) / plan.lambda;
    };
    Eigen::MatrixXd system = Eigen::MatrixXd::Identity(count, count);
    for (Eigen::Index row = 0; row < count; ++row) {
        const double u = nodes.at[static_cast<std::size_t>(row)];
        for (Eigen::Index i = 0; i < count; ++i)
            system(row, i) -= kernel(u, static_cast<std::size_t>(i));
    }
    const Eigen::VectorXd lengths = system.partialPivLu().solve(Eigen::VectorXd::Ones(count));
    double from_centre = 1.0;
    for (Eigen::Index i = 0; i < count; ++i)
        from_centre += lengths(i) * kernel(0.0, static_cast<std::size_t>(i));
    return sound(from_centre);
}

}  // namespace padtrim::statistics
