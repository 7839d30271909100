// Control charts that a person froze for a recipe's revision, alarms that their points raised, and
// what people replied. Plain values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::record {

// Which chart of which values, and the process that its limits follow from: centre and sigma of
// single values. The newest of a place is in force; one of kind "none" ends it.
struct FrozenChart {
    std::int64_t id = 0;  // given by the ledger
    std::string recipe, recipe_revision;
    std::string step, check, key;
    int channel = -1, frequency = -1;  // -1 where they do not apply
    Stage stage = Stage::as_found;
    std::string unit;
    std::string kind;   // as `padtrim chart --kind` has it, or "none"
    std::string rules;  // as typed, comma-separated; of charts that go by them
    std::size_t size = 1;
    double lambda = 0.1, width = 2.814, slack = 0.5, decision = 5.0;
    double centre = 0.0, sigma = 1.0;
    std::size_t points = 0;  // values that centre and sigma come from
    RunId after_run = 0;     // the newest of them: alarms are of later runs
    WallTime at;
    std::string who, why;
    friend bool operator==(const FrozenChart&, const FrozenChart&) = default;
};

struct AlarmReply {
    WallTime at;
    std::string who, why;
    friend bool operator==(const AlarmReply&, const AlarmReply&) = default;
};

// A point that a frozen chart signalled; kept once, whoever looks and how often.
struct ChartAlarm {
    std::int64_t id = 0;  // given by the ledger
    FrozenChart chart;
    RunId run = 0;  // that made the point
    std::string serial, lot;
    WallTime at;               // of the run's beginning
    std::string line, signal;  // "value", "beyond its limits"
    double value = 0.0, low = 0.0, high = 0.0;
    WallTime found;                   // when it was looked for
    std::optional<AlarmReply> reply;  // the newest
};

// What one look at a frozen chart found.
struct ChartLook {
    std::int64_t chart = 0;
    RunId until = 0;  // the newest run that it saw
    WallTime at;
    std::vector<ChartAlarm> alarms;
};

}  // namespace padtrim::record
