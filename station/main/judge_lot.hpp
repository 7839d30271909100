// Whether a lot is accepted by the values of one check. Only reads.
#pragma once

#include "station/cli/quality_commands.hpp"

namespace padtrim {

// 0 accepted, 1 not.
[[nodiscard]] int judge_lot(const cli::SamplingCommand& command);

}  // namespace padtrim
