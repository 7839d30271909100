// The scripts that draw charts in pages, embedded in the program so that a page needs nothing from
// outside. `library` is Apache ECharts (Apache License 2.0), `drawing` this folder's marks.js,
// ranks.js and drawing.js, `marks` the first of them alone: a page that draws a tape needs no more.
#pragma once

#include <string_view>

namespace padtrim::charts {

[[nodiscard]] std::string_view library_script();
[[nodiscard]] std::string_view drawing_script();
[[nodiscard]] std::string_view marks_script();

}  // namespace padtrim::charts
