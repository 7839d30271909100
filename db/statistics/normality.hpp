// Is a sample normal, and by how much not? Shapiro and Francia's test (J. Am. Statist. Assoc. 67
// (1972) 215) with Royston's normal approximation of its significance (Statistics and Computing 3
// (1993) 117; from memory).
//
//   W' = squared correlation of the sorted values with normal scores (i - 3/8) / (n + 1/4)
//   misfit = 1 - W': the share of the normal plot's variance that no straight line explains. It is
//   the effect: it does not shrink as the sample grows, where every significance does.
//
// A million values reject every model, so callers test a stated subsample. Pure and thread safe.
// Flaws: too_few_points below 5 values, out_of_domain above 5000, not_finite, not_positive where no
// value differs.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct Normality {
    std::size_t used = 0;  // values
    double w = 1.0;
    double significance = 1.0;  // probability of so much misfit when the values are normal
    [[nodiscard]] double misfit() const { return 1.0 - w; }
};
[[nodiscard]] Checked<Normality> shapiro_francia(std::span<const double> values);

// At most `most` values, evenly spaced in the order they came: the same for the same values.
[[nodiscard]] std::vector<double> subsample(std::span<const double> values, std::size_t most);

}  // namespace padtrim::statistics
