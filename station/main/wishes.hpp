// What can be said of a command's options before anything is opened or made: a start that fails
// here leaves nothing behind.
#pragma once

#include <optional>
#include <string>

#include "station/cli/command_line.hpp"
#include "station/main/output.hpp"

namespace padtrim {

// `run` may be null: a daemon has no lot yet.
[[nodiscard]] std::optional<GivesUp> wrong_with_names(const cli::StationWish& of,
                                                      const cli::RunCommand* run);
[[nodiscard]] std::optional<GivesUp> missing_ports(const std::string& directory);
[[nodiscard]] std::optional<GivesUp> missing_log_folder(const cli::LogWish& log);

}  // namespace padtrim
