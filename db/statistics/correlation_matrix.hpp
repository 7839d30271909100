// Whether stated correlations can hold all at once. Pure.
#pragma once

#include <cstddef>
#include <span>

namespace padtrim::statistics {

struct PairCorrelation {
    std::size_t first = 0, second = 0;  // inputs, from 0; below the number of inputs
    double coefficient = 0.0;
};

// False where no `inputs` quantities have these correlations (the rest 0): a covariance matrix is
// positive semi-definite (JCGM 102, 3.11, from memory), so no eigenvalue of theirs is below 0.
[[nodiscard]] bool are_possible(std::size_t inputs, std::span<const PairCorrelation> correlations);

}  // namespace padtrim::statistics
