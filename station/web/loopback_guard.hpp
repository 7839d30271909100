// Who may speak to the station over HTTP: programs of this machine, and pages that the station
// itself served. A page from elsewhere in an operator's browser may not, nor may a foreign name
// that resolves to this machine (Host is checked, so a rebound name is refused). Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "station/web/message.hpp"

namespace padtrim::web {

// "127.0.0.1", "localhost" or "[::1]", with or without a port.
[[nodiscard]] bool is_loopback(std::string_view authority);

// The answer that turns a request away, or nothing when it may pass.
[[nodiscard]] std::optional<Response> refusal(const Request& request);

// {"error": ..., "mend": ...}
[[nodiscard]] Response problem(unsigned status, const std::string& error, const std::string& mend);

}  // namespace padtrim::web
