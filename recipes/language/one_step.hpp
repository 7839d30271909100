// One step of a plan, to be run alone: an engineer looks at what a step does before a recipe is
// released. Pure.
//
// The cut plan identifies the unit, which every run begins with, and does this step with its
// exceptions and retries; its condition is left out, since somebody asks for the step. Power,
// pins and test mode are set by the step itself. The recipe is named after the step, so that
// results of it are never taken for those of the whole. Such a plan is for drafts that only
// measure: what writes, and what says something only after it, is refused.
#pragma once

#include <string>

#include "recipes/language/plan.hpp"

namespace padtrim::language {

// Why this step cannot be run alone, as a sentence with what to do; "" when it can.
[[nodiscard]] std::string why_not_alone(const Step& step);

// The plan, or (then it is null) what is wrong.
struct OneStep {
    PlanPtr plan;
    std::string problem;
};
[[nodiscard]] OneStep one_step_of(const Plan& plan, const std::string& name);

}  // namespace padtrim::language
