// padtrim dispose: a person's decision about the newest run of a unit is added to the records.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code. Everything is said on stdout and stderr.
[[nodiscard]] int dispose(const cli::DisposeCommand& command);

}  // namespace padtrim
