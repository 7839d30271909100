// The scripts that draw charts in pages, embedded in the program so that a page needs nothing from
// outside. `library` is Apache ECharts (Apache License 2.0), `drawing` this folder's drawing.js.
#pragma once

#include <string_view>

namespace padtrim::charts {

[[nodiscard]] std::string_view library_script();
[[nodiscard]] std::string_view drawing_script();

}  // namespace padtrim::charts
