// Every sampling plan with its lots in one table, for other programs: a row a lot, with the plan's
// product and step; a plan without a lot has a row of its own. Pure.
#pragma once

#include "station/answers/sampling_answer.hpp"

namespace padtrim::answers {

[[nodiscard]] Table sampling_rows(const std::vector<SamplingStanding>& standings);

}  // namespace padtrim::answers
