// Statistical tolerance intervals to ISO 16269-6: limits that hold at least the stated share of the
// population (`content`) with the stated confidence.
//
// Normal population, mean and standard deviation both unknown: mean - k s to mean + k s (both
// sides), or one of the two (one side). k is exact:
//   one side    k = t'(confidence; n - 1, z(content) sqrt(n)) / sqrt(n), t' noncentral
//   both sides  the k for which 2 Int[0, inf) P(chi2(n-1) >= (n-1) r(x)^2 / k^2) dPhi(x sqrt(n))
//               is the confidence, where Phi(x + r) - Phi(x - r) = content
// Any continuous population: from the r-th smallest to the s-th largest value, with
// P(Bin(n, 1 - content) >= r + s) >= confidence.
//
// Pure and thread safe. Flaws: too_few_points (n < 2, or 1 where no spread is needed),
// out_of_domain for shares outside (0, 1), no_convergence.
#pragma once

#include <cstdint>
#include <optional>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

enum class Sides { one, both };

struct ToleranceAim {
    double content = 0.99;
    double confidence = 0.95;
};

[[nodiscard]] Checked<double> tolerance_factor(std::uint64_t n, const ToleranceAim& aim,
                                               Sides sides);

// How many values from the ends inwards the limits may stand, both ends together: 0 when n values
// cannot give such an interval, 1 is the extreme value of one end, 2 both extremes.
[[nodiscard]] Checked<std::uint64_t> tolerance_ranks(std::uint64_t n, const ToleranceAim& aim);

// Smallest sample that allows so many ranks (1: one side, 2: both sides, from extreme values).
[[nodiscard]] Checked<std::uint64_t> tolerance_sample(std::uint64_t ranks, const ToleranceAim& aim);

}  // namespace padtrim::statistics
