// `padtrim reference measure`: the fixture's relay board and meter, the readings, the new record.
// Presses contact pins.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code. Nothing is written before everything was read and judged.
[[nodiscard]] int measure_references(const cli::ReferenceCommand& command);

}  // namespace padtrim
