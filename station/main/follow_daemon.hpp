// A lot handed to the station's daemon, and followed as if it ran here.
#pragma once

#include "recipes/language/plan.hpp"
#include "station/cli/command_line.hpp"
#include "station/main/daemon_file.hpp"

namespace padtrim {

// The exit code. When the daemon goes away in the middle this is a station fault, and said.
[[nodiscard]] int follow_daemon(const cli::RunCommand& command, const language::PlanPtr& plan,
                                const DaemonPlace& daemon);

}  // namespace padtrim
