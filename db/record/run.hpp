// What is remembered of lots and runs beside observations and results: plain values that pass
// through the journal.
//
// A run is one attempt at one unit in one nest. Its write-back goes through the stages below; a
// stage is recorded when the act before it has succeeded, except `intended`, which is durable
// before the first byte is written to the unit.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/observations.hpp"
#include "db/record/unit_result.hpp"

namespace padtrim::record {

using WallTime = std::chrono::sys_time<std::chrono::milliseconds>;
using LotId = std::int64_t;
using RunId = std::int64_t;

// By what right a lot runs its plan (db/record/release.hpp). none: not asked, or before releases
// were kept.
enum class PermissionKind { none, released, permit, draft };
[[nodiscard]] std::string_view name_of(PermissionKind kind);

struct Permission {
    PermissionKind kind = PermissionKind::none;
    std::int64_t id = 0;  // of the release or the permit
    friend bool operator==(const Permission&, const Permission&) = default;
};

// What the station's own check said when a lot was opened. unwatched: its fixture has no check
// standards.
enum class Readiness { unwatched, ready, needs_check, blocked };
[[nodiscard]] std::string_view name_of(Readiness readiness);
struct StationReadiness {
    Readiness state = Readiness::unwatched;
    std::int64_t shift_check = 0;  // the newest; 0 for none
    friend bool operator==(const StationReadiness&, const StationReadiness&) = default;
};

struct LotStart {
    std::string lot;
    std::string station;
    std::string plan_hash;
    std::string plan_text;
    std::string recipe, recipe_revision, product, fixture;
    WallTime at;
    std::string operator_name;
    bool measure_only = false;
    Permission permission = {};
    StationReadiness readiness = {};
};

struct RunStart {
    LotId lot = 0;
    std::uint16_t nest = 1;
    std::string serial;  // electronic
    std::string label;   // as scanned; "" when none
    WallTime at;
};

// A unit that was taken out of the lot without a run: another product, say.
struct SetAside {
    LotId lot = 0;
    std::uint16_t nest = 1;
    std::string serial;  // "" when it could not be read
    std::string label;   // as scanned; "" when none
    std::string reason;
    WallTime at;
};

enum class WriteStage {
    untouched,
    intended,
    written,
    read_back,
    committed,
    power_cycled,
    verified
};
[[nodiscard]] std::string_view name_of(WriteStage stage);

// What is about to be written into a unit, and what it held before.
struct WriteIntent {
    TrimsRead as_found;
    TrimsRead to_write;
    WallTime at;
};

// Everything about one finished run; stored in one transaction.
struct UnitRecord {
    Observations observations;
    UnitResult result;
    WriteStage write_stage = WriteStage::untouched;
    WallTime finished;
};

// A run that a stop of the station cut off. What it says about the unit follows from the stage:
// untouched; intended to power_cycled: possibly half-written, or written and not proven.
struct UnfinishedRun {
    RunId run = 0;
    LotId lot = 0;
    std::string lot_name;
    std::string serial;
    std::uint16_t nest = 1;
    WriteStage stage = WriteStage::untouched;
    WallTime started;
    friend bool operator==(const UnfinishedRun&, const UnfinishedRun&) = default;
};

// What the ledger knows of a serial before it is run again. `attempts` counts earlier runs of the
// unit in this lot; the newest finished one gives verdict, disposition (a person's later decision
// included) and reason. A unit that is quarantined or scrapped is so in every lot. An empty serial
// has no standing.
struct UnitStanding {
    std::uint32_t attempts = 0;
    bool finished = false;
    Verdict verdict = Verdict::no_verdict;
    Disposition disposition = Disposition::undecided;
    std::string reason;
    // Another lot of the same product, in production, whose run is the unit's newest that decides:
    // it passed there, was released, and nobody decided otherwise since; "" for none.
    std::string passed_in = {};
    WallTime passed_at = {};
    // Its runs in production, of whatever lot of the product, that failed or were inconclusive
    // since it last passed or a person last decided.
    std::uint32_t not_passed = 0;
    friend bool operator==(const UnitStanding&, const UnitStanding&) = default;
};

// Counts units, not runs: each serial once, by its newest finished run (a run without a serial is a
// unit of its own). removed: set aside without any finished run. loaded is the sum of the others.
struct LotCount {
    std::uint32_t loaded = 0, pass = 0, fail = 0, inconclusive = 0, no_verdict = 0, removed = 0;
    friend bool operator==(const LotCount&, const LotCount&) = default;
};

}  // namespace padtrim::record
