// The commands that help who writes recipes and register maps: asked of station/answers, printed,
// and the exit code that they end with.
#pragma once

#include "station/cli/command_line.hpp"

namespace padtrim {

int answer(const cli::HeaderCommand& command);
int answer(const cli::RejudgeCommand& command);
int answer(const cli::LimitsCommand& command);

}  // namespace padtrim
