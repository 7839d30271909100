// padtrim serve: the station's daemon, until a signal ends it.
#pragma once

#include "station/cli/command_line.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim {

[[nodiscard]] int serve(const cli::ServeCommand& command, engine::WriteBackPoint point);

}  // namespace padtrim
