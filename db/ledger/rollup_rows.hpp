// Which runs and units the rollups count (docs/ledger.md, "Rollups"): reads them from the ledger's
// own rows and hands them to a RollupBook.
//
// A unit is counted once, where its first run began (station, plan, lot, nest, day, shift); its
// place moves between the counts when a later run of it ends. The values and failing checks of a
// run that gave a verdict are counted where that run began: of the unit's first such run to end
// under "first", of others under "later". Runs without a verdict give none.
//
// Called inside the transaction of the act. SQLite's errors pass as SQLite::Exception, damaged rows
// as UnknownWord.
#pragma once

#include <cstdint>

#include <SQLiteCpp/Database.h>

#include "db/ledger/rows.hpp"
#include "db/record/rolled_up.hpp"

namespace padtrim::ledger::rows {

// A run has ended, and its rows are there: notes it as the newest ending and counts it.
void roll_up_end(SQLite::Database& database, record::RunId run);
// A unit was set aside, and its row is there.
void roll_up_set_aside(SQLite::Database& database, std::int64_t set_aside);
// Empties the rollups and counts everything anew, in the order of ending.
void rebuild_rollups(SQLite::Database& database);
// Does so when they were never filled, or by another formula. False when nothing was to do.
bool fill_rollups(SQLite::Database& database);

// In force for runs after this one.
Stored<void> set_shift_hours(SQLite::Database& database, const record::ShiftHoursChange& change);

}  // namespace padtrim::ledger::rows
