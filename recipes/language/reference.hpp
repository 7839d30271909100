// The reference of the three documents as Markdown, made from their layouts and from the step
// declarations; docs/ keeps the text and a test fails when it is stale.
#pragma once

#include <string>

namespace padtrim::language {

[[nodiscard]] std::string recipe_reference_markdown();
[[nodiscard]] std::string register_map_reference_markdown();
[[nodiscard]] std::string fixture_reference_markdown();

}  // namespace padtrim::language
