// The points of every control chart in one table, a row a point of a line, for other programs:
// which chart a row is of stands in the row. Pure.
//
//   what | step | check | key | channel | frequency | stage | line | point | at | value | low |
//   high | unit | signal
//
// Channel and frequency count from 0 and are empty where a check has none. `what` names a chart of
// counts, which is of no single check.
#pragma once

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

[[nodiscard]] Table chart_rows(const ControlAnswer& answer);

}  // namespace padtrim::answers
