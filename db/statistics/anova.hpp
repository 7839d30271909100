// One-way analysis of variance: do groups differ by more than their scatter?
//
// Pure and thread safe. Sums are taken about the first value and corrected for the rounded mean, so
// that data with many leading digits in common keep theirs (NIST StRD SmLs04 to SmLs09). Formulas:
// Montgomery, Design and Analysis of Experiments, 3.3.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct OneWayAnova {
    double between_squares = 0.0, within_squares = 0.0;
    double between_degrees = 0.0, within_degrees = 0.0;
    double between_mean_square = 0.0, within_mean_square = 0.0;
    double f = 0.0;
    double significance = 1.0;  // probability of so large an F when the groups are alike
    double residual_deviation = 0.0;
    double r_squared = 0.0;
};

// Two groups or more, together with more values than groups; group sizes may differ.
[[nodiscard]] Checked<OneWayAnova> one_way_anova(std::span<const std::vector<double>> groups);

}  // namespace padtrim::statistics
