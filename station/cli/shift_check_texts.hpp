// Shift checks as text. Pure.
#pragma once

#include "station/answers/readiness.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {

// Decision, cause and way out, the units, and one line a group of charts.
[[nodiscard]] Lines shift_check_text(const record::ShiftCheck& check, const Paper& paper);
// Newest first, and how the station stands where that was asked.
[[nodiscard]] Lines shift_checks_text(const std::vector<record::ShiftCheck>& checks,
                                      const Paper& paper);

}  // namespace padtrim::cli
