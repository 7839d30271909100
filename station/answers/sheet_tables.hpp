// The tables of a sheet by the names of its figures: what a face offers as CSV beside each. Pure.
#pragma once

#include <optional>
#include <string_view>

#include "station/answers/chart.hpp"

namespace padtrim::answers {

// By the id of a chart (those within panels too), a panel or a tape, or "table-1", "table-2" for
// the sheet's own. "" is the first table of the sheet, or of its charts where it has none.
[[nodiscard]] std::optional<Table> table_named(const Sheet& sheet, std::string_view figure);

}  // namespace padtrim::answers
