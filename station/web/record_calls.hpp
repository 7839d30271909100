// Calls that ask the records and not the station: they are answered by a thread of their own
// (Response::later), each with a reader of its own.
#pragma once

#include <optional>
#include <string>

#include "station/web/message.hpp"

namespace padtrim::web {

// The answer to come, or nothing when the path is not one of these calls.
[[nodiscard]] std::optional<Response> record_answer(const Request& request,
                                                    const std::string& records);

}  // namespace padtrim::web
