// A lot's books as a sheet: every unit that was loaded is accounted for. Pure.
#pragma once

#include "station/answers/chart.hpp"
#include "station/answers/lot_report.hpp"

namespace padtrim::answers {

// loaded = pass + fail + inconclusive + no verdict + removed?
[[nodiscard]] bool balanced(const record::LotCount& count);

[[nodiscard]] Sheet sheet_of(const LotReport& report);

}  // namespace padtrim::answers
