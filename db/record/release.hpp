// Who let which plan go into production, and how far a deviation from it may go.
//
// A plan is released as a whole: recipe, register map and fixture profile together, under its hash.
// A lot runs on a released plan; on another one under a deviation permit that names it, until a
// time or for so many units; or as a draft, and then every result of it is marked. Plain values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/run.hpp"

namespace padtrim::record {

// What a ledger keeps of a plan.
struct PlanCopy {
    std::string hash, text;
    std::string recipe, recipe_revision, product, fixture;
};

struct Release {
    std::int64_t id = 0;  // given by the ledger
    PlanCopy plan;
    WallTime at;
    std::string who, why;
    std::optional<WallTime> withdrawn;
};

struct Permit {
    std::int64_t id = 0;                    // given by the ledger
    std::string name;                       // "wider noise limit"
    PlanCopy plan;                          // the one that deviates
    std::int64_t release = 0;               // from which
    std::vector<std::string> changes;       // in words
    std::optional<WallTime> until;          // not itself
    std::optional<std::uint32_t> quantity;  // units
    WallTime at;
    std::string who, why;
    std::uint32_t used = 0;  // units that ran under it
};

}  // namespace padtrim::record
