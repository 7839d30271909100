// One stored run in full: the uncertainty budgets of every channel term by term, their check by
// Monte Carlo (JCGM 101), the noise in detail, the crosstalk matrix and how the frequencies agree.
//
// Pure; derived from the stored observations with the formulas of today.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "station/answers/unit_history.hpp"
#include "station/metrology/line_report.hpp"
#include "station/metrology/noise_report.hpp"
#include "station/metrology/touch_report.hpp"

namespace padtrim::answers {

struct DetailsWish {
    std::optional<std::uint16_t> channel;  // none: all
    std::size_t trials = 0;                // of the Monte Carlo check; 0: none, else 1000 or more
};

struct UnitDetails {
    std::vector<metrology::LineReport> lines;
    std::vector<metrology::CheckBudget> budgets;  // of verification and touch
    std::vector<metrology::NoiseReport> noise;
    std::vector<metrology::CrosstalkMatrix> crosstalk;  // a frequency, where it could be formed
    std::vector<metrology::KeyFrequencies> frequencies;
    std::vector<std::string> gaps;  // what could not be derived, a sentence each
};

[[nodiscard]] UnitDetails unit_details(const HistoryRun& run, const DetailsWish& wish);

[[nodiscard]] Json to_json(const UnitDetails& details);

}  // namespace padtrim::answers
