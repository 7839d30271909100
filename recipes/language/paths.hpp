// Paths of the documents' parts, as checks name them, and the little that all checks share.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include "recipes/document/document.hpp"

namespace padtrim::language {

[[nodiscard]] inline std::string in_quotes(std::string_view word) {
    return '"' + std::string(word) + '"';
}

// "step[2]", or "step[2].limits.gain".
[[nodiscard]] inline std::string item_path(std::string_view list, std::size_t index,
                                           std::string_view below = "") {
    const auto item = document::path_item(std::string(list), index);
    return below.empty() ? item : document::path_below(item, below);
}

}  // namespace padtrim::language
