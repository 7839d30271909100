// What a sheet of control charts says in words: its rules, where its limits come from, and what is
// odd about one chart. Internal to control_answer.cpp; pure.
#pragma once

#include <string>
#include <vector>

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

[[nodiscard]] std::vector<std::string> sentences_of(const ControlAnswer& answer);
// Of one chart, for its row; "" where there is nothing to say.
[[nodiscard]] std::string remark_of(const ControlAnswer& answer, const PlaceControl& place);

}  // namespace padtrim::answers
