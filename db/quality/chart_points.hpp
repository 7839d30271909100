// Values of check standards as points of their charts. Internal to shift_decision.cpp; pure.
#pragma once

#include "db/quality/shift_decision.hpp"

namespace padtrim::quality {

// All charted values, each with the limits in force; `learned` is that of the least learned chart.
struct Charted {
    std::vector<record::ChartPoint> points;
    unsigned learned = 0;
    std::vector<std::string> still;  // checks of standards whose baseline does not scatter at all
};
[[nodiscard]] Charted charted(const language::ShiftCheck& rule,
                              const std::vector<MeasuredStandard>& measured,
                              const ChartHistory& history);

}  // namespace padtrim::quality
