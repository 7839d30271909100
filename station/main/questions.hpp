// The commands that only ask: check, plan, schema, unit, yield. Each returns the exit code.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

[[nodiscard]] int answer(const cli::CheckCommand& command);
[[nodiscard]] int answer(const cli::PlanCommand& command);
[[nodiscard]] int answer(const cli::SchemaCommand& command);
[[nodiscard]] int answer(const cli::UnitCommand& command);

}  // namespace padtrim
