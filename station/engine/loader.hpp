// How a unit comes into a nest: by the profile's automatic handler, or by a person's hands.
//
// Neither moves anything while the nest is powered: the safe state of the unit before comes first.
#pragma once

#include <string>

#include "station/engine/act.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim::engine {

struct Loading {
    bool present = false;  // false: no unit came, and none will
    std::string label;     // as scanned; "" when none was
};

[[nodiscard]] bool has_handler(const language::Nest& nest);
// Whether a unit lies in the nest now.
[[nodiscard]] Act<bool> lies_in(port::RelayBank& relays, std::uint16_t present_input);
// A pulse on the handler, then its unit, or none within the handler's time.
[[nodiscard]] Act<Loading> load_by_handler(const Parts& parts, const language::Nest& nest);

}  // namespace padtrim::engine
