// What a plant does with a ledger beside running lots: times that a station stood still, raw
// observations that are removed when old. Plain values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "db/record/run.hpp"

namespace padtrim::record {

struct Downtime {
    std::string station;
    WallTime began;
    bool planned = false;
    std::string reason;  // in the plant's own words, the same for the same: they are counted
    std::string who;
    std::string note;               // "" when there is none
    std::int64_t id = 0;            // given by the ledger
    std::optional<WallTime> ended;  // none: still standing
    std::string ended_by;
    friend bool operator==(const Downtime&, const Downtime&) = default;
};

// Raw observations of runs that ended before a time; their results stay.
struct Removal {
    WallTime ended_before;
    std::string who, why;
    WallTime at;
    std::int64_t id = 0;  // given by the ledger
    std::uint64_t runs = 0, bytes = 0;
    friend bool operator==(const Removal&, const Removal&) = default;
};

}  // namespace padtrim::record
