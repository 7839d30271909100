// Single values of checks as columns: of each lot, for each scope of its rollups and each place of
// a check, the values of units' first tries that are numbers, in the order in which they ended.
// What questions stream that need every value: other limits, percentiles.
//
// Written when a lot is closed. A lot that is open, or was opened again, is read out of its runs,
// which takes longer. Derived: a rebuild of the rollups makes them anew.
//
// SQLite's errors pass as SQLite::Exception; damaged rows as UnknownWord.
#pragma once

#include <compare>
#include <map>
#include <span>
#include <unordered_set>
#include <vector>

#include "db/ledger/database.hpp"
#include "db/record/run.hpp"

namespace padtrim::ledger {

// Of the family 'lot', and of rollup_place.
struct ColumnKey {
    std::int64_t scope = 0, place = 0;
    friend auto operator<=>(const ColumnKey&, const ColumnKey&) = default;
};
using LotColumns = std::map<ColumnKey, std::vector<double>>;

// Out of the runs of a lot, which the rollups have counted.
[[nodiscard]] LotColumns columns_of_lot(Database& database, record::LotId lot);

// Within a transaction of the caller's, in place of what the lot had.
void write_columns(Database& database, record::LotId lot);
[[nodiscard]] bool has_columns(Database& database, record::LotId lot);
// A lot is opened again.
void drop_columns(Database& database, record::LotId lot);
// Of every lot that is closed.
void rewrite_columns(Database& database);

// Open ones.
[[nodiscard]] std::unordered_set<record::LotId> lots_without_columns(Database& database);

// Values as a blob holds them: binary64, little-endian. UnknownWord where a blob is no such list.
void unpack_values(std::span<const std::uint8_t> bytes, std::vector<double>& values);

}  // namespace padtrim::ledger
