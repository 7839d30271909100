// `padtrim shift-check`: measures check standards and the challenge unit, decides, remembers. Moves
// the finger and puts power on units, and writes to none.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code.
[[nodiscard]] int shift_check(const cli::ShiftCheckCommand& command);

}  // namespace padtrim
