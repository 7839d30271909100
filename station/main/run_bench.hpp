// padtrim bench: the virtual bench on pseudo-terminals, in this process.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

[[nodiscard]] int run_bench(const cli::BenchCommand& command);

}  // namespace padtrim
