// `padtrim wear`: how worn the contacts of a fixture are, and what was replaced.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code.
[[nodiscard]] int wear(const cli::WearCommand& command);

}  // namespace padtrim
