// One step of the plan that does not write, run by its executor.
#pragma once

#include "station/engine/write_back.hpp"

namespace padtrim::engine {

// Identify was done when the unit was powered; writing is the nest's own sequence: both are no act.
[[nodiscard]] Act<void> run_step(Workstand& at, WriteBack& write_back, const language::Step& step);

}  // namespace padtrim::engine
