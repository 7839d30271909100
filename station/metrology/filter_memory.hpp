// The memory of a product's low-pass filter: the first scans of a state still hold the state
// before.
//
//   y_i = r y_i-1 + (1 - r) x_i      r: what the filter keeps of its last value
//
// When a step's first scans stand out, r is found from how they die away, and the filter undone:
// x_i = (y_i - r y_i-1) / (1 - r) are readings without memory, one fewer a state. A filter of
// another kind shows as states that disagree, and widens the uncertainty. Pure; internal to the
// room. States of three scans or fewer are too short to tell and stay as they are.
#pragma once

#include <optional>
#include <span>

#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

struct FilterMemory {
    double kept = 0.0;      // r
    double standard = 0.0;  // its standard uncertainty, by the regression's residuals
};
// Nothing when no state begins with a memory of the one before.
[[nodiscard]] std::optional<FilterMemory> filter_memory(std::span<const StateMean> states);

// Sums of the state anew, its memory of the state before taken out. What an error of r does to the
// mean is kept beside it: the same error in all states.
void forget_state_before(StateMean& state, FilterMemory memory);

}  // namespace padtrim::metrology
