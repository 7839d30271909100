// How a control chart is to be made, as an address or a call says it; names and ranges are those of
// `padtrim chart`. Pure.
#pragma once

#include "station/answers/control_answer.hpp"
#include "station/web/question.hpp"

namespace padtrim::web {

// "as-left"
[[nodiscard]] record::Stage stage_of(Question& question);
// Limits, rules and shifts to find; the values are not in it.
[[nodiscard]] answers::ControlWish chart_wish(Question& question);

}  // namespace padtrim::web
