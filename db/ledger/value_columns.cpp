#include "db/ledger/value_columns.hpp"

#include <bit>
#include <cmath>
#include <cstring>
#include <set>
#include <string>

#include "db/ledger/begun_runs.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

namespace {

static_assert(std::endian::native == std::endian::little, "values are stored as they lie");

Bytes packed_values(const std::vector<double>& values) {
    Bytes bytes(values.size() * sizeof(double));
    std::memcpy(bytes.data(), values.data(), bytes.size());
    return bytes;
}

// Of a lot, in the order in which they ended; the first of each unit. A run without a serial is a
// unit of its own.
std::vector<record::RunId> first_tries_of(Database& database, record::LotId lot) {
    Query row(database,
              "SELECT run.id, run.serial FROM run JOIN run_end ON run_end.run = run.id"
              " JOIN ending ON ending.run = run.id"
              " WHERE run.lot = ? AND run_end.verdict <> 'no verdict' ORDER BY ending.sequence");
    row.with(lot);
    std::set<std::string> seen;
    std::vector<record::RunId> tries;
    while (row.next()) {
        const std::string serial = row.text_at(1);
        if (serial.empty() || seen.insert(serial).second) tries.push_back(row.integer_at(0));
    }
    return tries;
}

class ScopesOfLots {
  public:
    explicit ScopesOfLots(Database& database)
        : begun_(database),
          row_(database,
               "SELECT rollup_scope.id FROM rollup_scope JOIN rollup_origin"
               " ON rollup_origin.id = rollup_scope.origin WHERE family = 'lot' AND lot = ?"
               " AND day = ? AND shift = ? AND shift_day = ? AND nest = ? AND station = ?"
               " AND product = ? AND recipe = ? AND recipe_revision = ? AND fixture = ?"
               " AND measure_only = ? AND draft = ?") {}
    std::int64_t of(record::RunId run) {
        const auto where = begun_.of(run).where;
        const auto& from = where.origin;
        row_.with(where.lot, where.when.day, where.when.shift, where.when.shift_day, where.nest,
                  from.station, from.product, from.recipe, from.recipe_revision, from.fixture,
                  from.measure_only, from.draft);
        if (!row_.next())
            throw UnknownWord("run " + std::to_string(run) + " is in no scope of the rollups");
        return row_.integer_at(0);
    }

  private:
    BegunRuns begun_;
    Query row_;
};

}  // namespace

LotColumns columns_of_lot(Database& database, record::LotId lot) {
    ScopesOfLots scopes(database);
    Query value(database,
                "SELECT rollup_place.id, check_result.value FROM check_result JOIN rollup_place"
                " ON rollup_place.step = check_result.step AND rollup_place.name ="
                " check_result.name AND rollup_place.key = check_result.key AND"
                " rollup_place.channel = coalesce(check_result.channel, -1) AND"
                " rollup_place.frequency = coalesce(check_result.frequency, -1) AND"
                " rollup_place.stage = check_result.stage AND"
                " rollup_place.unit = check_result.unit"
                " WHERE run = ? AND value IS NOT NULL ORDER BY number");
    LotColumns columns;
    for (const record::RunId run : first_tries_of(database, lot)) {
        const std::int64_t scope = scopes.of(run);
        value.with(run);
        while (value.next())
            if (std::isfinite(value.number_at(1)))
                columns[{scope, value.integer_at(0)}].push_back(value.number_at(1));
    }
    return columns;
}

bool has_columns(Database& database, record::LotId lot) {
    return Query(database, "SELECT 1 FROM rollup_column_lot WHERE lot = ?").with(lot).next();
}

void drop_columns(Database& database, record::LotId lot) {
    if (!has_columns(database, lot)) return;
    Query(database, "DELETE FROM rollup_column_lot WHERE lot = ?").with(lot).run();
    Query(database,
          "DELETE FROM rollup_column WHERE scope IN"
          " (SELECT id FROM rollup_scope WHERE family = 'lot' AND lot = ?)")
        .with(lot)
        .run();
}

void write_columns(Database& database, record::LotId lot) {
    drop_columns(database, lot);
    Query insert(database, "INSERT INTO rollup_column (scope, place, \"values\") VALUES (?, ?, ?)");
    for (const auto& [key, values] : columns_of_lot(database, lot))
        insert.with(key.scope, key.place, packed_values(values)).run();
    Query(database, "INSERT INTO rollup_column_lot (lot) VALUES (?)").with(lot).run();
}

void rewrite_columns(Database& database) {
    for (const char* table : {"rollup_column", "rollup_column_lot"})
        database.exec(std::string("DELETE FROM ") + table);
    std::vector<record::LotId> closed;
    Query lot(database,
              "SELECT lot FROM lot_opening GROUP BY lot HAVING max(id) IN"
              " (SELECT opening FROM lot_closing) ORDER BY lot");
    while (lot.next()) closed.push_back(lot.integer_at(0));
    for (const record::LotId each : closed) write_columns(database, each);
}

std::unordered_set<record::LotId> lots_without_columns(Database& database) {
    Query row(database, "SELECT id FROM lot EXCEPT SELECT lot FROM rollup_column_lot");
    std::unordered_set<record::LotId> lots;
    while (row.next()) lots.insert(row.integer_at(0));
    return lots;
}

void unpack_values(std::span<const std::uint8_t> bytes, std::vector<double>& values) {
    if (bytes.size() % sizeof(double) != 0)
        throw UnknownWord("a row of rollup_column holds no list of values");
    values.resize(bytes.size() / sizeof(double));
    if (!values.empty()) std::memcpy(values.data(), bytes.data(), bytes.size());
}

}  // namespace padtrim::ledger
