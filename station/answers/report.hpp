// A report: sheets under one title, as a drawing office would file them. Plain value; what stands
// on the sheets comes from the questions, and station/report makes a page of it.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "station/answers/chart.hpp"

namespace padtrim::answers {

struct Report {
    std::string title;
    // The title block: what, which, when, who. In this order.
    std::vector<std::pair<std::string, std::string>> block;
    std::vector<Sheet> sheets;
};

[[nodiscard]] Json to_json(const Report& report);

}  // namespace padtrim::answers
