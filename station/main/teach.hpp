// `padtrim teach`.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code.
int teach(const cli::TeachCommand& command);

}  // namespace padtrim
