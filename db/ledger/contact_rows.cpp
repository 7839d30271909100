// How often contacts worked, as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger::rows {

namespace {

std::int64_t standing_count(Database& database, std::int64_t station, const std::string& fixture,
                            std::uint16_t coil) {
    Query newest(database,
                 "SELECT operations FROM contact_count WHERE station = ? AND fixture = ?"
                 " AND coil = ? ORDER BY id DESC LIMIT 1");
    return newest.with(station, fixture, coil).next() ? newest.integer_at(0) : 0;
}

}  // namespace

Stored<void> count_contacts(Database& database, const record::ContactCounts& counts) {
    const std::int64_t station = station_row(database, counts.station);
    Query insert(database,
                 "INSERT INTO contact_count (station, fixture, coil, at, operations)"
                 " VALUES (?, ?, ?, ?, ?)");
    for (const record::CoilOperations& coil : counts.coils) {
        const std::int64_t before = standing_count(database, station, counts.fixture, coil.coil);
        insert
            .with(station, counts.fixture, coil.coil, counts.at,
                  before + static_cast<std::int64_t>(coil.operations))
            .run();
    }
    return {};
}

Stored<void> replace_contacts(Database& database, const record::ContactReplacement& replacement) {
    const std::int64_t station = station_row(database, replacement.station);
    Query(database,
          "INSERT INTO contact_replacement (station, fixture, at, who, why) VALUES (?, ?, ?, ?, ?)")
        .with(station, replacement.fixture, replacement.at, replacement.who, replacement.why)
        .run();
    const std::int64_t id = database.getLastInsertRowid();
    Query insert(database,
                 "INSERT INTO contact_count (station, fixture, coil, at, operations, replacement)"
                 " VALUES (?, ?, ?, ?, 0, ?)");
    for (const std::uint16_t coil : replacement.coils)
        insert.with(station, replacement.fixture, coil, replacement.at, id).run();
    return {};
}

}  // namespace padtrim::ledger::rows
