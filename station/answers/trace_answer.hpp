// Where a unit has been, and which units something has been at: a step of a recipe, a relay, a
// recipe revision, a fixture, a station, a span of time.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "db/record/release.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/quality_wish.hpp"
#include "station/answers/unit_history.hpp"

namespace padtrim::answers {

// What measured one run of a unit, and by what right.
struct RunOrigin {
    std::optional<record::Release> release;
    std::optional<record::Permit> permit;
    std::optional<record::ShiftCheck> check;  // the newest shift check before it
};
struct UnitTrace {
    UnitHistory history;
    std::vector<RunOrigin> origins;  // one a run of the history
};
[[nodiscard]] journal::Stored<UnitTrace> unit_trace(ledger::Reader& reader,
                                                    const std::string& serial);
[[nodiscard]] Json to_json(const UnitTrace& trace);
[[nodiscard]] Sheet sheet_of(const UnitTrace& trace);

struct TouchedWish {
    QualityWish of;  // its step: one that the unit did
    // A coil that worked while the unit was measured: its nest's own, or of a reference step that
    // was switched in.
    std::optional<std::uint16_t> relay;
};
struct TouchedUnits {
    std::vector<ledger::RunSummary> runs;  // oldest first, measuring-only lots too where asked
    std::size_t units = 0;                 // of each lot once
};
[[nodiscard]] journal::Stored<TouchedUnits> touched_units(ledger::Reader& reader,
                                                          const TouchedWish& wish);
[[nodiscard]] Json to_json(const TouchedUnits& touched);
[[nodiscard]] Sheet sheet_of(const TouchedUnits& touched);

// Whether a coil worked in a run, from its plan and what was observed. Pure.
[[nodiscard]] bool relay_worked(const language::FixtureProfile& fixture,
                                const record::Observations& observations, std::uint16_t coil);

// Runs as rows: serial, lot, station, nest, when, verdict, what becomes of it, recipe, fixture.
[[nodiscard]] Table runs_table(const std::vector<ledger::RunSummary>& runs);

}  // namespace padtrim::answers
