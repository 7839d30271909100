// One member of an address's query ("serial=HOB8%2D1&x=2"), decoded (RFC 3986, and + for a blank as
// the URL standard's forms have it). Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace padtrim::web {

// Nothing when it is not there, or not properly encoded.
[[nodiscard]] std::optional<std::string> query_value(std::string_view query, std::string_view name);

}  // namespace padtrim::web
