// What came of a lot: books, yield, channels, what failed and why. The summary after a run and
// --json are made from it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/quality/yield.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/answers/station_status.hpp"

namespace padtrim::answers {

// Units that did not pass and want the same act of a person, each by its newest run.
struct UnitGroup {
    Mark mark = Mark::fail;
    std::string next_step;
    std::vector<std::string> serials;  // in the order they came
    std::string reason;                // of the first one
};
// A unit that was taken out without any run.
struct AsideNote {
    std::string serial;
    std::uint16_t nest = 1;
    std::string reason;
};

struct LotReport {
    ledger::LotSummary lot;
    language::PlanPtr plan;      // of its newest run; null when there is none
    std::vector<TapeMark> tape;  // in the order the units came
    std::optional<quality::Yield> yield;
    std::vector<ledger::LineSummary> lines;        // as found
    std::vector<UnitGroup> groups;                 // largest first
    std::vector<ledger::FailureSummary> failures;  // by check and key, most frequent first
    std::vector<AsideNote> set_aside;
};

// Nothing when there is no lot of this name.
[[nodiscard]] journal::Stored<std::optional<LotReport>> lot_report(ledger::Reader& reader,
                                                                   const std::string& lot);
// The tape alone: what a live view begins with when a lot goes on.
[[nodiscard]] journal::Stored<std::vector<TapeMark>> lot_tape(ledger::Reader& reader,
                                                              const std::string& lot);

[[nodiscard]] Json to_json(const LotReport& report);

}  // namespace padtrim::answers
