// The verdict on a run as the engine reaches it: metrology's judge over what the plan asked for.
// Pure, so that a stored run is judged again by the same function.
#pragma once

#include "db/record/observations.hpp"
#include "db/record/unit_result.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::engine {

// The plan without its write-back: the step that writes and the power-cycles and verifications
// after it. The hash stays that of the whole plan.
[[nodiscard]] language::Plan measuring_only(const language::Plan& plan);

// A measure-only run that passes releases nothing: its disposition stays undecided, and reason and
// next step say so.
[[nodiscard]] record::UnitResult verdict_of(const language::Plan& plan, bool measure_only,
                                            const record::Observations& seen);

}  // namespace padtrim::engine
