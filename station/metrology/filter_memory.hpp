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

// r, or nothing when no state begins with a memory of the one before.
[[nodiscard]] std::optional<double> filter_memory(std::span<const StateMean> states);

// Sums of the state anew, its memory of the state before taken out.
void forget_state_before(StateMean& state, double r);

}  // namespace padtrim::metrology
