// Where and when runs began, as rollups count them. SQLite's errors pass as SQLite::Exception;
// damaged rows as UnknownWord.
#pragma once

#include <string>

#include "db/ledger/database.hpp"
#include "db/ledger/rollup_book.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

struct BegunRun {
    RollupWhere where;
    std::string serial;
    record::RunId unit = 0;
};

// The origin in the first columns of a row: station, product, recipe, recipe_revision, fixture,
// measure_only, draft.
[[nodiscard]] RollupOrigin origin_at(Query& row);

class BegunRuns {
  public:
    explicit BegunRuns(Database& database);
    [[nodiscard]] BegunRun of(record::RunId run);
    // No statement stays under way.
    void rest() { row_.rest(); }

  private:
    Database& database_;
    Query row_;
};

}  // namespace padtrim::ledger
