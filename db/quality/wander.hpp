// Do means of groups scatter more than their own uncertainties let expect? Pure.
//
// Sum of squares about the weighted mean, each over its uncertainty squared: chi-squared with one
// degree less than there are means, where all means are one. The ratio is Birge's (Phys. Rev. 40
// (1932) 207): the root of that sum over its degrees; 1 by chance. A series that wanders to and fro
// shows here, though neither a step nor a trend stands out of it.
//
// Flaws: sizes_differ, too_few_points below two means, not_finite, not_positive for an uncertainty.
#pragma once

#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::quality {

struct Wander {
    double ratio = 1.0, significance = 1.0;
};
[[nodiscard]] statistics::Checked<Wander> wander_of(std::span<const double> means,
                                                    std::span<const double> standards);

}  // namespace padtrim::quality
