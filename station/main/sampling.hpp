// Sampling plans: set, lots chosen from, results kept, and told.
#pragma once

#include "station/cli/quality_commands.hpp"

namespace padtrim {

[[nodiscard]] int sampling(const cli::SamplingCommand& command);

}  // namespace padtrim
