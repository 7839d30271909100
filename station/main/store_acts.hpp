// Looks after the file of records: rollups, shift hours, and what else is done to the file itself.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

[[nodiscard]] int store_act(const cli::StoreCommand& command);  // the exit code

}  // namespace padtrim
