// What people say for the books alone (books_control.hpp), over HTTP: sampling plans, chosen units,
// inspection that goes on, and contacts that were replaced. Each is kept with a name, the login's
// where there is one; the audit has it with before and after.
#pragma once

#include <optional>

#include "station/web/books_control.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

// None where the path is another's.
[[nodiscard]] std::optional<Response> books_answer(const Request& request, StationControl& station);

}  // namespace padtrim::web
