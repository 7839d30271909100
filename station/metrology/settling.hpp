// Whether the contacts had settled when their readings began: what a state of the fixture read in
// its first half of scans against its second.
//
// Pure. Of the readings as they are: a slow contact dies away as a filter of the product does, and
// undoing the one (filter_memory.hpp) would hide the other. So a filter that is on in test mode
// shows here too. What readings scatter by is told by the second halves alone.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/metrology/case.hpp"

namespace padtrim::metrology {

// Of each series (channel * frequencies + frequency) the state that changed most, with the standard
// uncertainty of one such change: the largest of several is larger than one by chance, so a limit
// belongs well above the noise. Nothing for a series without a state of enough scans.
[[nodiscard]] std::vector<std::optional<Measured>> settling_of(const Case& unit,
                                                               const std::string& step);

}  // namespace padtrim::metrology
