// Observations of steps that were done more than once: which of them count. Pure.
#pragma once

#include <string>

#include "db/record/observations.hpp"

namespace padtrim::record {

// The same without what was observed under a step before its last attempt began; `attempts` stays.
[[nodiscard]] Observations without_earlier_attempts(Observations seen);

// How often a step was begun anew; 0 for most.
[[nodiscard]] unsigned earlier_attempts(const Observations& seen, const std::string& step);

}  // namespace padtrim::record
