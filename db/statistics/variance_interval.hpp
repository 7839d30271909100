// Interval for a sum of weighted mean squares: a variance component, or a sum of some.
//
// Modified large samples: Graybill and Wang (J. Am. Statist. Assoc. 75 (1980) 869) where all
// weights are positive, Ting, Burdick, Graybill, Jeyaratnam and Lu (J. Statist. Comput. Simul. 35
// (1990) 135) where some are negative; exact for a single mean square. As in Burdick, Borror and
// Montgomery, Design and Analysis of Gauge R&R Studies (2005); formulas from memory, their coverage
// is simulated in the tests. Bounds below 0 become 0.
//
// Pure and thread safe. Flaws: too_few_points for none, not_finite, not_positive for a negative
// mean square or no degrees, out_of_domain for a coverage outside (0, 1).
#pragma once

#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct WeightedSquare {
    double weight = 1.0;  // sign and all
    double mean_square = 0.0;
    double degrees = 0.0;
};
struct VarianceInterval {
    double estimate = 0.0;  // may be negative
    double low = 0.0, high = 0.0;
};
[[nodiscard]] Checked<VarianceInterval> variance_interval(std::span<const WeightedSquare> squares,
                                                          double coverage);

}  // namespace padtrim::statistics
