// A table on paper of a given width. Pure.
//
//   as it is    where it fits
//   folded      headings, then the widest columns of words, go over several lines
//   stacked     where a row would be more than a few lines high: a block a row, a line a column
//
// Numbers are never folded but before the bracket of their interval; words of up to 32 letters are
// not broken in columns.
#pragma once

#include <string>
#include <vector>

#include "station/cli/report_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {

// The first row is the heading, in bold. Each row has a cell for each of `sides`; a column on the
// right holds numbers. Cells are printable texts of one line.
[[nodiscard]] Lines fitted_table(const std::vector<std::vector<std::string>>& rows,
                                 const std::vector<Side>& sides, const Paper& paper);

}  // namespace padtrim::cli
