// Calls about the station's own recipe, below /api/recipe, and what changed between two releases.
// Described in docs/commands.md.
#pragma once

#include <optional>

#include "station/web/author_control.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

// The answer, or nothing when the path is not one of these calls.
[[nodiscard]] std::optional<Response> recipe_answer(const Request& request,
                                                    StationControl& station);

}  // namespace padtrim::web
