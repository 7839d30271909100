// Downtimes of a station, and raw readings that are removed when old.
#pragma once

#include "station/cli/store_commands.hpp"

namespace padtrim {

[[nodiscard]] int retire(const cli::StoreCommand& command);  // the exit code
[[nodiscard]] int audit(const cli::StoreCommand& command);
[[nodiscard]] int downtime(const cli::StoreCommand& command);  // the exit code

}  // namespace padtrim
