// What a station is doing, as one value: the terminal draws it, the daemon answers it as JSON.
//
// Built by folding the engine's events one after the other; pure, so that any face that has the
// events has the same status. Nothing here is a record of anything: the ledger is.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/run.hpp"
#include "db/record/unit_result.hpp"
#include "station/engine/events.hpp"
#include "station/engine/stack_light.hpp"

namespace padtrim::answers {

enum class StationState { ready, running, needs_check, blocked };
[[nodiscard]] std::string_view name_of(StationState state);

// What a unit looks like in a drawing and on a lot's tape.
enum class Mark {
    waiting,
    running,
    pass,
    fail,
    inconclusive,
    no_verdict,
    quarantined,
    removed,
    paused  // no unit: the nest called for help
};
[[nodiscard]] std::string_view name_of(Mark mark);
[[nodiscard]] Mark mark_of(record::Verdict verdict, record::Disposition disposition);

// The check of a key that came nearest to its limit, or furthest beyond it.
struct KeyMargin {
    std::string key;
    double margin = 0.0;
    record::Verdict verdict = record::Verdict::no_verdict;
    std::string check;
    std::string sentence;  // "touch response 212(9) counts, at least 250 needed"
};
// The nearest of each key's checks (station/metrology/nearest_checks.hpp).
[[nodiscard]] std::vector<KeyMargin> worst_margins(const std::vector<record::CheckResult>& checks);

struct NestStatus {
    std::uint16_t number = 1;
    Mark mark = Mark::waiting;
    std::string serial;
    std::string step, key;
    std::uint32_t done = 0, of = 0;
    std::string waits_for;              // "the finger", which another nest has
    std::chrono::milliseconds left{0};  // to this unit's verdict, as last told
    std::string sentence;               // what to do, or why
    std::string reason;                 // what decided the verdict
    std::vector<KeyMargin> keys;        // of the unit at work so far, or of the last finished one
    std::string question, picture;      // that waits for a person's yes or no; "" when none does
};

struct TapeMark {
    std::string serial;
    std::uint16_t nest = 1;
    Mark mark = Mark::running;
};

struct StationStatus {
    StationState state = StationState::ready;
    std::string station, lot;
    std::string recipe, recipe_revision, product;
    bool measure_only = false;
    bool again = false;                // units that passed in another lot are run, too
    bool draft = false;                // the plan is not released
    bool stopping = false;             // no more units are loaded
    engine::ConditionOfLot condition;  // what the stack light shows
    record::LotCount count;
    std::vector<NestStatus> nests;
    std::vector<TapeMark> tape;
    std::string check;       // why the station's own check keeps it from producing, "" when not
    std::string last_fault;  // one sentence, "" when none
    std::string last_not_passed;  // the newest unit that did not pass, why, and what to do
    std::string ended;            // why the last lot ended, "" while one runs
};

void apply(StationStatus& status, const engine::Event& event);

inline constexpr std::string_view start_a_lot = "Start a lot.";

// The only thing to do next, as one imperative sentence.
[[nodiscard]] std::string next_sentence(const StationStatus& status);

// "loaded 24 = pass 18 + fail 4 + inconclusive 1 + no verdict 1 + removed 0"
[[nodiscard]] std::string reconciliation(const record::LotCount& count, std::size_t running = 0);
[[nodiscard]] std::size_t running_units(const StationStatus& status);
// By the newest mark of each serial on the tape.
[[nodiscard]] std::size_t quarantined_units(const StationStatus& status);

// One line of plain text for an event, without time stamp or line end.
[[nodiscard]] std::string line_of(const engine::Event& event);

// "touch response 212(9) counts, at least 250 needed"
[[nodiscard]] std::string sentence_of(const record::CheckResult& check);

}  // namespace padtrim::answers
