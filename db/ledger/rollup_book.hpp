// Counts units, failing checks and values into the rollup tables (docs/ledger.md, "Rollups").
//
// A Book reads the rows that it needs, adds to them in memory, and writes what it changed at
// flush(), within the transaction of its additions. It keeps what it has read for the next one:
// nobody else writes the rollups while it lives. After a transaction that was rolled back it is to
// be thrown away. Adding one run and a million go the same way, so that a rollup kept run by run
// and one made anew in the same order have the same bits. SQLite's errors pass as
// SQLite::Exception; damaged rows as UnknownWord.
#pragma once

#include <array>
#include <compare>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

#include "db/ledger/database.hpp"
#include "db/ledger/statement.hpp"
#include "db/record/rolled_up.hpp"
#include "db/record/unit_result.hpp"
#include "db/statistics/histogram.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::ledger {

// A change of what is counted, or of how, raises this: ledgers are then filled anew when opened.
// 2: with columns of values and with retried units.
inline constexpr int rollup_version = 2;

struct RollupOrigin {
    std::int64_t station = 0;
    std::string product, recipe, recipe_revision, fixture;
    bool measure_only = false, draft = false;
    friend auto operator<=>(const RollupOrigin&, const RollupOrigin&) = default;
};

// Where something is counted: where and when its run began.
struct RollupWhere {
    RollupOrigin origin;
    record::LotId lot = 0;
    std::uint16_t nest = 1;
    record::ShiftMoment when;
};

// In the order of the columns of rollup_units after `scope`.
enum class UnitColumn {
    runs,
    units,
    first_pass,
    final_pass,
    retested,
    rejected_first,
    recovered,
    without_verdict,
    pass,
    fail,
    inconclusive,
    no_verdict,
    removed,
    retried
};
inline constexpr std::size_t unit_columns = 14;
using UnitDelta = std::array<std::int64_t, unit_columns>;
inline std::int64_t& in(UnitDelta& delta, UnitColumn column) {
    return delta[static_cast<std::size_t>(column)];
}

class RollupBook {
  public:
    explicit RollupBook(Database& database);

    void count_units(const RollupWhere& where, const UnitDelta& change);
    // The checks of a run that gave a verdict. later: another try of the unit ended before.
    void add_try(const RollupWhere& where, bool later, std::span<const record::CheckResult> checks);
    // The unit whose first try failed first at this check was tried again, or passed its last try
    // (+1), or no longer did (-1).
    void count_after(const RollupWhere& where, const record::CheckResult& first_failing,
                     std::uint64_t record::FailureCounts::*which, int change);
    // Writes what was changed; forgets all rows when they have become many.
    void flush();

  private:
    static constexpr std::size_t families = 3;
    using Scopes = std::array<std::int64_t, families>;
    struct FactKey {
        std::int64_t scope = 0, place = 0;
        bool later = false;
        friend auto operator<=>(const FactKey&, const FactKey&) = default;
    };
    struct Hash {
        std::size_t operator()(const FactKey& key) const {
            return std::hash<std::int64_t>{}((key.scope * 0x1F123BB5 + key.place) * 2 +
                                             (key.later ? 1 : 0));
        }
    };
    struct ValueRow {
        statistics::Moments moments;
        record::VerdictCounts verdicts;
        std::optional<double> low, high;
        std::int64_t limit_changes = 0;
        statistics::Histogram histogram;
    };

    // Rows as they stand or will stand in their table, and which of them are not written yet.
    template <class Key, class Row, class Hasher = std::hash<Key>>
    struct Rows {
        std::unordered_map<Key, Row, Hasher> all;
        std::set<Key> changed;  // in the order of the table's key: neighbours are written together
    };

    std::int64_t origin_id(const RollupOrigin& origin);
    std::int64_t scope_id(std::size_t family, const RollupWhere& where);
    Scopes scopes_of(const RollupWhere& where);
    std::int64_t place_id(const record::CheckResult& check, bool any_channel);
    // Places of one check side by side, so that a question reads them in one go.
    void make_places(std::span<const record::CheckResult> checks);
    std::string place_words(const record::CheckResult& check, bool any_channel);
    // To be changed.
    UnitDelta& unit_row(std::int64_t scope);
    record::FailureCounts& failure_row(const FactKey& key);
    ValueRow& value_row(const FactKey& key);
    void add_values(const Scopes& scopes, bool later, std::span<const record::CheckResult> checks);
    void add_failures(const Scopes& scopes, bool later,
                      std::span<const record::CheckResult> checks);
    void flush_units();
    void flush_failures();
    void flush_values();

    Database& database_;
    Query read_units_, read_failure_, read_value_, read_place_;
    std::map<RollupOrigin, std::int64_t> origins_;
    std::map<std::array<std::int64_t, 7>, std::int64_t> scopes_;
    std::unordered_map<std::string, std::int64_t> places_;
    Rows<std::int64_t, UnitDelta> units_;
    Rows<FactKey, record::FailureCounts, Hash> failures_;
    Rows<FactKey, ValueRow, Hash> values_;
    std::string words_;  // of the last place, so that its memory is used again
};

}  // namespace padtrim::ledger
