// An answer on stdout: as JSON, as the CSV of its first table, or as its sheet.
#pragma once

#include "station/answers/chart.hpp"
#include "station/answers/json.hpp"
#include "station/cli/command_line.hpp"

namespace padtrim {

[[nodiscard]] cli::Face face_of(bool json, bool csv);
void print_csv(const answers::Table& table);
void tell(const answers::Json& json, const answers::Sheet& sheet, cli::Face face);

}  // namespace padtrim
