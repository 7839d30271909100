// padtrim run: a lot on this process's own fixture, or handed to the station's daemon.
#pragma once

#include "station/cli/command_line.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim {

// The exit code. Everything is said on stdout and stderr.
[[nodiscard]] int run_lot(const cli::RunCommand& command, engine::WriteBackPoint point);

}  // namespace padtrim
