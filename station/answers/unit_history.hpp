// What is known of one unit: every run with what was measured then, as found and as left.
#pragma once

#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct HistoryRun {
    ledger::StoredRun stored;
    language::PlanPtr plan;  // null when its text cannot be read any more
};
struct UnitHistory {
    std::string serial;
    std::vector<HistoryRun> runs;  // oldest first; none: the records do not know the unit
};

[[nodiscard]] journal::Stored<UnitHistory> unit_history(ledger::Reader& reader,
                                                        const std::string& serial);

[[nodiscard]] Json to_json(const UnitHistory& history);
[[nodiscard]] Json to_json(const ledger::StoredRun& run);
[[nodiscard]] Json to_json(const ledger::DispositionChange& change);

}  // namespace padtrim::answers
