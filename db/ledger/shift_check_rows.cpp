// Shift checks, their points and restarts of charts as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

namespace {

void keep_units(Database& database, std::int64_t id, const record::ShiftCheck& check) {
    Query insert(database,
                 "INSERT INTO shift_check_unit (shift_check, number, serial, nest, challenge,"
                 " verdict, as_wanted, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
    std::size_t number = 0;
    for (const record::StandardOutcome& unit : check.standards)
        insert
            .with(id, number++, unit.serial, unit.nest, unit.challenge,
                  record::name_of(unit.verdict), unit.as_wanted, unit.reason)
            .run();
}

void keep_points(Database& database, std::int64_t id, const record::ShiftCheck& check) {
    Query insert(database,
                 "INSERT INTO chart_point (shift_check, number, serial, nest, step, name, key,"
                 " channel, frequency, value, unit, state, centre, sigma, low, high)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    std::size_t number = 0;
    for (const record::ChartPoint& point : check.points) {
        const record::ChartPlace& at = point.place;
        insert
            .with(id, number++, at.serial, at.nest, at.step, at.check, at.key,
                  where_it_applies(at.channel), where_it_applies(at.frequency), point.value,
                  point.unit, record::name_of(point.state), point.centre, point.sigma, point.low,
                  point.high)
            .run();
    }
}

}  // namespace

Stored<std::int64_t> keep_shift_check(Database& database, const record::ShiftCheck& check) {
    const std::int64_t station = station_row(database, check.station);
    Query(database,
          "INSERT INTO shift_check (station, fixture, product, certificate, at, who, decision,"
          " cause, next_step, baseline, learned) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .with(station, check.fixture, check.product, check.certificate, check.at, check.who,
              record::name_of(check.decision), check.cause, check.next_step, check.baseline,
              check.learned)
        .run();
    const std::int64_t id = database.getLastInsertRowid();
    for (const std::string& name : check.lots) {
        Query lot(database,
                  "SELECT id FROM lot WHERE station = ? AND name = ? AND measure_only = 1");
        if (!lot.with(station, name).next())
            return out_of_order("a shift check names a lot '" + name + "' that is not there");
        Query(database, "INSERT INTO shift_check_lot (shift_check, lot) VALUES (?, ?)")
            .with(id, lot.integer_at(0))
            .run();
    }
    keep_units(database, id, check);
    keep_points(database, id, check);
    return id;
}

Stored<void> restart_charts(Database& database, const record::ChartRestart& restart) {
    const std::int64_t station = station_row(database, restart.station);
    Query(database,
          "INSERT INTO chart_restart (station, fixture, after, at, who, why)"
          " VALUES (?1, ?2, coalesce((SELECT max(id) FROM shift_check WHERE station = ?1"
          " AND fixture = ?2), 0), ?3, ?4, ?5)")
        .with(station, restart.fixture, restart.at, restart.who, restart.why)
        .run();
    return {};
}

void keep_readiness(Database& database, std::int64_t opening,
                    const record::StationReadiness& readiness) {
    if (readiness.state == record::Readiness::unwatched) return;
    const auto newest =
        readiness.shift_check != 0 ? std::optional(readiness.shift_check) : std::nullopt;
    Query(database, "INSERT INTO opening_readiness (opening, state, shift_check) VALUES (?, ?, ?)")
        .with(opening, record::name_of(readiness.state), newest)
        .run();
}

}  // namespace padtrim::ledger::rows
