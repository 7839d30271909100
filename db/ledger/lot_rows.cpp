#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

namespace {

record::LotId lot_row(Database& database, const record::LotStart& start) {
    const std::int64_t station = station_row(database, start.station);
    Query known(database, "SELECT id FROM lot WHERE station = ? AND name = ? AND measure_only = ?");
    if (known.with(station, start.lot, start.measure_only).next()) return known.integer_at(0);
    Query(database, "INSERT INTO lot (station, name, measure_only) VALUES (?, ?, ?)")
        .with(station, start.lot, start.measure_only)
        .run();
    return database.getLastInsertRowid();
}

Stored<void> must_exist(Database& database, record::LotId lot) {
    if (Query(database, "SELECT 1 FROM lot WHERE id = ?").with(lot).next()) return {};
    return out_of_order("there is no lot " + std::to_string(lot));
}

void add(record::LotCount& count, record::Verdict verdict, std::uint32_t units) {
    switch (verdict) {
        case record::Verdict::pass:
            count.pass += units;
            break;
        case record::Verdict::fail:
            count.fail += units;
            break;
        case record::Verdict::inconclusive:
            count.inconclusive += units;
            break;
        case record::Verdict::no_verdict:
            count.no_verdict += units;
            break;
    }
}

// In the order of the tape: each unit by its newest ended run. With max(), SQLite takes the other
// columns from the row of the maximum (documented: "bare columns in an aggregate query").
constexpr const char* units_by_verdict =
    "SELECT verdict, count(*) FROM ("
    " SELECT run_end.verdict AS verdict, max(run.id) FROM run JOIN run_end ON run_end.run = run.id"
    " WHERE run.lot = ? GROUP BY coalesce(run.first_run, run.id)) GROUP BY verdict";

constexpr const char* units_set_aside =
    "SELECT count(*) FROM set_aside WHERE lot = ?1 AND (serial = '' OR ("
    " NOT EXISTS (SELECT 1 FROM run JOIN run_end ON run_end.run = run.id"
    "             WHERE run.lot = ?1 AND run.serial = set_aside.serial)"
    " AND NOT EXISTS (SELECT 1 FROM set_aside AS earlier WHERE earlier.lot = ?1"
    "                 AND earlier.serial = set_aside.serial AND earlier.id < set_aside.id)))";

}  // namespace

std::int64_t station_row(Database& database, const std::string& name) {
    Query known(database, "SELECT id FROM station WHERE name = ?");
    if (known.with(name).next()) return known.integer_at(0);
    Query(database, "INSERT INTO station (name) VALUES (?)").with(name).run();
    return database.getLastInsertRowid();
}

Stored<std::int64_t> open_opening(Database& database, record::LotId lot) {
    Query newest(database,
                 "SELECT lot_opening.id, lot_closing.at FROM lot_opening"
                 " LEFT JOIN lot_closing ON lot_closing.opening = lot_opening.id"
                 " WHERE lot_opening.lot = ? ORDER BY lot_opening.id DESC LIMIT 1");
    if (!newest.with(lot).next()) return out_of_order("there is no lot " + std::to_string(lot));
    if (!newest.null_at(1)) return out_of_order("lot " + std::to_string(lot) + " is closed");
    return newest.integer_at(0);
}

Stored<record::LotId> open_lot(Database& database, const record::LotStart& start) {
    const Stored<void> kept =
        keep_plan(database, {start.plan_hash, start.plan_text, start.recipe, start.recipe_revision,
                             start.product, start.fixture});
    if (!kept) return kept.error();
    const record::LotId lot = lot_row(database, start);
    Query(database, "INSERT INTO lot_opening (lot, plan, operator, at) VALUES (?, ?, ?, ?)")
        .with(lot, start.plan_hash, start.operator_name, start.at)
        .run();
    const std::int64_t opening = database.getLastInsertRowid();
    keep_permission(database, opening, start.permission);
    keep_readiness(database, opening, start.readiness);
    return lot;
}

Stored<record::LotCount> count(Database& database, record::LotId lot) {
    const Stored<void> known = must_exist(database, lot);
    if (!known) return known.error();
    record::LotCount count;
    Query verdicts(database, units_by_verdict);
    verdicts.with(lot);
    while (verdicts.next())
        add(count, verdict_of(verdicts.text_at(0)), verdicts.at<std::uint32_t>(1));
    Query removed(database, units_set_aside);
    if (removed.with(lot).next()) count.removed = removed.at<std::uint32_t>(0);
    count.loaded = count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
    return count;
}

Stored<void> close_lot(Database& database, record::LotId lot, record::WallTime at) {
    const Stored<std::int64_t> opening = open_opening(database, lot);
    if (!opening) return opening.error();
    Query(database, "INSERT INTO lot_closing (opening, at) VALUES (?, ?)").with(*opening, at).run();
    return {};
}

Stored<void> set_aside(Database& database, const record::SetAside& unit) {
    const Stored<std::int64_t> opening = open_opening(database, unit.lot);
    if (!opening) return opening.error();
    Query(database,
          "INSERT INTO set_aside (opening, lot, nest, serial, label, reason, at)"
          " VALUES (?, ?, ?, ?, ?, ?, ?)")
        .with(*opening, unit.lot, unit.nest, unit.serial, unit.label, unit.reason, unit.at)
        .run();
    return {};
}

}  // namespace padtrim::ledger::rows
