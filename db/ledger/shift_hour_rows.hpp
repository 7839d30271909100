// The shift hours that count for a run, for a set-aside unit, or (neither given) from now on.
#pragma once

#include <optional>

#include "db/ledger/database.hpp"
#include "db/record/rolled_up.hpp"

namespace padtrim::ledger::rows {

record::ShiftHours shift_hours(Database& database, std::int64_t station,
                               std::optional<record::RunId> run,
                               std::optional<std::int64_t> set_aside);

}  // namespace padtrim::ledger::rows
