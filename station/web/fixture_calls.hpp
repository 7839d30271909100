// Calls about work by hand on the fixture, below /api/fixture: what there is, who holds it, and
// what a holder does. Described in docs/commands.md.
#pragma once

#include <optional>

#include "station/web/fixture_control.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

// The answer, or nothing when the path is not one of these calls.
[[nodiscard]] std::optional<Response> fixture_answer(const Request& request,
                                                     StationControl& station);

}  // namespace padtrim::web
