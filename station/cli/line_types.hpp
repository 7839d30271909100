// Line type is verdict: the characters that draw each one, and a lot's tape in them.
//
//   pass heavy continuous, fail broken open, inconclusive dashed, no verdict dotted, quarantined
//   hatched, running thin, waiting faint. The word stands beside a drawing, the legend beside a
//   tape; colour only adds. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "station/answers/station_status.hpp"
#include "station/cli/canvas.hpp"

namespace padtrim::cli {

struct LineSet {
    char32_t top_left, across, top_right, down, bottom_left, bottom_right;
    char32_t face;  // what fills an empty face
};
[[nodiscard]] const LineSet& lines_of(answers::Mark mark);
[[nodiscard]] Style style_of(answers::Mark mark);

// "pass" as "PASS", for letters of ASCII.
[[nodiscard]] std::string upper(std::string_view word);

// One mark of a tape: a column of one cell.
[[nodiscard]] char32_t tape_glyph(answers::Mark mark);

// The marks in the order the units came, a blank after every tenth, `width` columns a line.
[[nodiscard]] std::vector<std::string> tape_lines(const std::vector<answers::TapeMark>& tape,
                                                  std::size_t width, Colours colours);
// "┃ pass  ╳ fail ..." on as many lines as it needs; removed units and pauses only when there
// are some.
[[nodiscard]] std::vector<std::string> tape_legend(const std::vector<answers::TapeMark>& tape,
                                                   std::size_t width, Colours colours);

// `cells` ticks, the first `full` of them full.
[[nodiscard]] std::string ticks(std::size_t full, std::size_t cells);

// Ten ticks that fill with a margin from 0 (on the limit) to 1 (certain). `wide` has a cell a
// tick, otherwise a cell holds two. A margin below 0 shows a cross.
[[nodiscard]] std::string margin_strip(double margin, bool wide);

}  // namespace padtrim::cli
