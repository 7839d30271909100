// A chart description in character cells: the same figure that pages draw, small enough for a
// terminal. Pure.
//
//   o point, | interval, # bar in eighths, heavy line specification, dashes control limit, chain
//   centre, a cross where a rule signals
#pragma once

#include <string>
#include <vector>

#include "station/answers/chart.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

// Title, figure of `height` lines, the ends of the x axis, and the chart's sentence with what the
// crosses mean. Only the title and the sentence where nothing can be drawn.
[[nodiscard]] Lines plot_lines(const answers::Chart& chart, const Paper& paper,
                               std::size_t height = 11);

// Tables and plots of a sheet, under its title. Tables fit the paper (fitted_table.hpp).
[[nodiscard]] Lines sheet_text(const answers::Sheet& sheet, const Paper& paper);
[[nodiscard]] Lines table_text(const answers::Table& table, const Paper& paper);

}  // namespace padtrim::cli
