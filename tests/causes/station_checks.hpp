// Shift checks of the station in production.hpp, decided by the program's own rule.
#pragma once

#include <string>
#include <vector>

#include "db/quality/shift_decision.hpp"
#include "tests/causes/production.hpp"

namespace padtrim::causes {

[[nodiscard]] inline std::string name_of_standard(std::size_t which) {
    return "S" + std::to_string(which + 1);
}

class StationChecks {
  public:
    // Which values are charted: "gain", "offset", "touch response".
    StationChecks(Production& line, std::vector<std::string> charted);
    record::ShiftCheck next();
    void learn();
    static constexpr unsigned baseline = 10;

  private:
    Production& line_;
    language::ShiftCheck rule_;
    quality::ChartHistory history_;
};

}  // namespace padtrim::causes
