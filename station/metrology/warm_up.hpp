// Whether a unit has warmed up: how far its readings moved from one look to the next.
//
// Pure; the engine asks after each look, the judge about the last two.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/record/observations.hpp"
#include "recipes/quantity/quantity.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::metrology {

// Magnitude of the change of each series (channel * frequencies + frequency) between the last two
// looks of this step; empty before the second.
[[nodiscard]] std::vector<Measured> drift_of(const record::Observations& seen,
                                             const std::string& step);

// The largest one lies within the limit, whatever its uncertainty.
[[nodiscard]] bool is_warm(const record::Observations& seen, const std::string& step,
                           const Interval<Counts>& limit);

}  // namespace padtrim::metrology
