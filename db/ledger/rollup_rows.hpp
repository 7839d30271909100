// Which runs and units the rollups count (docs/ledger.md, "Rollups"): reads them from the ledger's
// own rows and hands them to a RollupBook.
//
// A unit is counted once, where its first run began (station, plan, lot, nest, day, shift); its
// place moves between the counts when a later run of it ends. The values and failing checks of a
// run that gave a verdict are counted where that run began: of the unit's first such run to end
// under "first", of others under "later". Runs without a verdict give none.
//
// All inside a transaction of the caller's. SQLite's errors pass as SQLite::Exception, damaged rows
// as UnknownWord.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "db/ledger/database.hpp"
#include "db/ledger/rows.hpp"
#include "db/record/rolled_up.hpp"

namespace padtrim::ledger::rows {

// Keeps the rollups of one writer as its acts go on, with prepared statements and the names that it
// has met. Lives on the writer's thread and dies before its database.
class RollupKeeper {
  public:
    explicit RollupKeeper(Database& database);
    ~RollupKeeper();
    RollupKeeper(const RollupKeeper&) = delete;
    RollupKeeper& operator=(const RollupKeeper&) = delete;

    // Inside an act's transaction, after its rows: counts the runs that ended and the units that
    // were set aside since the act before.
    void extend();
    // A lot is closed in this act: its values become columns.
    void closes(record::LotId lot) { closed_.push_back(lot); }
    void committed() { kept_ = next_; }
    void dropped();
    // Somebody else is about to write the rollups, in this act.
    void forget();

  private:
    struct Parts;
    struct Place {
        std::int64_t ending = 0, set_aside = 0;  // the newest that were counted
    };
    Database& database_;
    std::unique_ptr<Parts> parts_;
    Place kept_, next_;
    std::vector<record::LotId> closed_;
};

// Empties the rollups and counts everything anew, in the order of ending.
void rebuild_rollups(Database& database);
// Does so when they were never filled, or by another formula. False when nothing was to do.
bool fill_rollups(Database& database);

// In force for runs after this one.
Stored<void> set_shift_hours(Database& database, const record::ShiftHoursChange& change);

}  // namespace padtrim::ledger::rows
