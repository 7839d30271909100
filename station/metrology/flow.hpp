// Which steps of a recipe apply to a unit, given how the earlier ones ended. Pure; the engine asks
// it before a step, and judging asks it again of what was observed.
#pragma once

#include <optional>
#include <vector>

#include "db/record/unit_result.hpp"
#include "recipes/language/recipe.hpp"

namespace padtrim::metrology {

// How the steps from the first on ended; nothing for one that did not run.
using StepEnds = std::vector<std::optional<record::Verdict>>;

// Whether the step after those is to be done. A condition on a step that did not run does not hold.
[[nodiscard]] bool applies(const language::Recipe& recipe, const StepEnds& ends);

}  // namespace padtrim::metrology
