// Which rows of rollup_scope answer a question, each with the group that it belongs to: the fewest
// that do. Whole months from 'month', days at the edges from 'day', and 'lot' only where a lot, or
// nests within less than a month, are asked for.
#pragma once

#include <vector>

#include "db/ledger/database.hpp"
#include "db/ledger/rollup_reader.hpp"

namespace padtrim::ledger {

struct GroupedScope {
    std::int64_t scope = 0;
    std::size_t group = 0;  // in the list of groups
};

struct ScopeList {
    std::vector<RollupGroup> groups;   // ascending
    std::vector<GroupedScope> scopes;  // older first
};
struct LotScope {
    std::int64_t scope = 0;
    record::LotId lot = 0;
};

[[nodiscard]] ScopeList scopes_for(Database& database, const RollupFilter& filter, RollupBy by);
// All of the family 'lot' that answer to the filter; older first.
[[nodiscard]] std::vector<LotScope> lot_scopes_for(Database& database, const RollupFilter& filter);

}  // namespace padtrim::ledger
