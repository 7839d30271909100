// What becomes of units: those that wait for a person's decision, or that got one, with every
// change so far; and the decision itself as it is asked for.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/answers/chart.hpp"
#include "station/answers/quality_wish.hpp"

namespace padtrim::answers {

struct DisposedUnit {
    ledger::RunSummary run;                          // the unit's newest
    std::vector<ledger::DispositionChange> changes;  // the station's own first
};
struct Dispositions {
    std::vector<record::Disposition> which;
    std::vector<DisposedUnit> units;  // newest first
    bool more = false;                // than are told
};

// "waiting" (quarantined, or the station could not decide), "released", "rework", "scrap",
// "quarantined", "undecided".
[[nodiscard]] std::vector<record::Disposition> dispositions_named(std::string_view name);
[[nodiscard]] std::vector<std::string> disposition_names();
// What a person may decide: released, rework, scrap or quarantined.
[[nodiscard]] std::optional<record::Disposition> decision_named(std::string_view name);

inline constexpr std::size_t most_disposed = 200;
[[nodiscard]] journal::Stored<Dispositions> dispositions(
    ledger::Reader& reader, const QualityWish& wish, const std::vector<record::Disposition>& which,
    std::size_t most = most_disposed);

// The newest run of the unit that has ended; nothing when there is none.
// A unit that nobody could name, neither by serial nor by label, has the number of its `run` alone.
[[nodiscard]] journal::Stored<std::optional<ledger::RunSummary>> run_to_decide(
    ledger::Reader& reader, const std::string& serial, record::RunId run = 0);

[[nodiscard]] Json to_json(const Dispositions& answer);
[[nodiscard]] Sheet sheet_of(const Dispositions& answer);

}  // namespace padtrim::answers
