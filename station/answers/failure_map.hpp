// Where on the panel units fail: rejected units at the key of the first check that failed, from the
// rollups alone. Checks of the unit as a whole stand in the table.
#pragma once

#include <string>
#include <vector>

#include "station/answers/chart.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct FailurePlace {
    std::string check, key;  // key "": of the unit as a whole
    record::Stage stage = record::Stage::as_found;
    record::FailureCounts counts;
};
struct FailureMap {
    std::uint64_t units = 0;  // that were tried
    language::PlanPtr plan;
    std::vector<FailurePlace> places;  // most units rejected by it first
};

[[nodiscard]] journal::Stored<FailureMap> failure_map(ledger::Reader& reader,
                                                      const QualityWish& wish);
[[nodiscard]] Json to_json(const FailureMap& map);
// The keys with how many units each rejected: the denser the hatching, the more.
[[nodiscard]] PanelFigure panel_of(const FailureMap& map);
[[nodiscard]] Sheet sheet_of(const FailureMap& map);

}  // namespace padtrim::answers
