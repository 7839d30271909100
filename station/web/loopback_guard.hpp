// Who may speak to the station over HTTP: programs of this machine, over TLS those that use a name
// of its certificate, and pages that the station itself served. A page from elsewhere in an
// operator's browser may not, nor may a foreign name that resolves to this machine (Host is
// checked, so a rebound name is refused). Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/web/message.hpp"

namespace padtrim::web {

// "127.0.0.1", "localhost" or "[::1]", with or without a port.
[[nodiscard]] bool is_loopback(std::string_view authority);

// Whether an authority ("line-3.example:8443") is one of these names, which may begin with "*." for
// one label (RFC 9525, section 6.3), or of this machine.
[[nodiscard]] bool is_own(std::string_view authority, const std::vector<std::string>& names);

// The answer that turns a request away, or nothing when it may pass.
[[nodiscard]] std::optional<Response> refusal(const Request& request);

// {"error": ..., "mend": ...}
[[nodiscard]] Response problem(unsigned status, const std::string& error, const std::string& mend);

}  // namespace padtrim::web
