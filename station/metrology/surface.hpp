// Where a falling finger meets the surface of this unit, from counts against height.
//
// Pure. The tip is sprung: below the surface the counts stand still, above it they fall off. The
// surface lies where the curve above, continued, reaches the level below.
#pragma once

#include <span>

#include "db/statistics/flaw.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::metrology {

struct CurvePoint {
    Millimetre height;      // against a nominal surface
    double change = 0.0;    // counts, towards a touch
    double standard = 0.0;  // of the change
};

struct FoundSurface {
    Millimetre height, standard;
    double level = 0.0;  // change on the surface, counts
};
// Points in any order. Flaws: too_few_points for fewer than four or fewer than two on the level;
// no_convergence when the counts never leave the level.
[[nodiscard]] statistics::Checked<FoundSurface> surface_of(std::span<const CurvePoint> points);

}  // namespace padtrim::metrology
