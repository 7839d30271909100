// Whether the station may produce: what its newest shift check said, how old the last good one is,
// and whether its references are still within their recalibration date. Pure, but for asking the
// ledger.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/engine/shift_run.hpp"

namespace padtrim::answers {

struct ReadinessAnswer {
    record::StationReadiness station;
    std::string sentence;  // how things stand, and the way out where one is needed
    std::optional<record::WallTime> last_good;  // shift check
    bool references_due = false;                // past their recalibration date
    // Only engineering goes on otherwise (--draft), and its results are marked.
    [[nodiscard]] bool may_produce() const {
        return !references_due && (station.state == record::Readiness::ready ||
                                   station.state == record::Readiness::unwatched);
    }
};

// `newest`: of this station and fixture, whatever it said.
[[nodiscard]] ReadinessAnswer readiness_of(const language::FixtureProfile& fixture,
                                           const std::optional<record::ShiftCheck>& newest,
                                           const std::optional<record::WallTime>& last_good,
                                           record::WallTime now);
[[nodiscard]] journal::Stored<ReadinessAnswer> readiness_in(ledger::Reader& reader,
                                                            const language::FixtureProfile& fixture,
                                                            const std::string& station,
                                                            record::WallTime now);

// The reference steps' date has passed: a sentence, or "".
[[nodiscard]] std::string recalibration_due(const language::EquipmentRecord& equipment,
                                            record::WallTime now);

// The check that a shift run amounts to, without a number yet. All its units were measured.
[[nodiscard]] record::ShiftCheck shift_check_of(
    const language::Plan& plan, const engine::ShiftOutcome& outcome,
    const std::map<record::ChartPlace, std::vector<double>>& history);

[[nodiscard]] Json to_json(const record::ShiftCheck& check);
[[nodiscard]] Json to_json(const ReadinessAnswer& readiness);

}  // namespace padtrim::answers
