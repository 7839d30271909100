// Fisher's exact test of two shares: the probability, all margins given, of a table no likelier
// than the one seen (two-sided, as is common practice; Fisher 1934).
//
// Pure and thread safe; about as many steps as the smallest margin counts. Flaws: too_few_points
// for a share of nothing, out_of_domain for a part larger than its whole.
#pragma once

#include <cstdint>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct Counted {
    std::uint64_t part = 0, whole = 0;
};
[[nodiscard]] Checked<double> fisher_exact(const Counted& a, const Counted& b);

}  // namespace padtrim::statistics
