// The live view of a lot on a terminal: one frame of text from a status. Pure; Screen shows it.
//
// From the top: the one sentence, the nests as panels side by side, the lot's tape with its legend,
// reconciliation, and how to stop. The densest drawing that still fits the terminal is chosen; on
// a very small one each nest is a line.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "recipes/language/register_map.hpp"
#include "station/answers/station_status.hpp"
#include "station/cli/canvas.hpp"

namespace padtrim::cli {

struct TerminalSize {
    std::size_t columns = 80, rows = 24;
};

// At most size.rows lines, none wider than size.columns.
[[nodiscard]] std::vector<std::string> live_frame(const answers::StationStatus& status,
                                                  const language::RegisterMap& map,
                                                  TerminalSize size, Colours colours);

// Lets the time left run down between two events.
void pass_time(answers::StationStatus& status, std::chrono::milliseconds time);

}  // namespace padtrim::cli
