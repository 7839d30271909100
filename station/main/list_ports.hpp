// `padtrim ports`.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

// The exit code.
int list_ports(const cli::PortsCommand& command);

}  // namespace padtrim
