// One value of a chart of single values that makes most of its own limits: these come from the mean
// moving range, to which a value that stands alone gives two. Its limits then are too wide for
// the others. More than half of all ranges counts as most; common practice, no source. Pure.
#pragma once

#include <optional>

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

struct LoneValue {
    std::string label;
    double share = 0.0;  // of the sum of moving ranges
};
// values: of a chart whose limits come from all of them. None among fewer than eight.
[[nodiscard]] std::optional<LoneValue> lone_value(const std::vector<ControlPoint>& values);

// What to say of it; "" where there is none, or limits come from elsewhere.
[[nodiscard]] std::string lone_value_words(const ControlAnswer& answer, const PlaceControl& place);

}  // namespace padtrim::answers
