// The audit as rows: written one by one, read newest first.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger {

namespace rows {

Stored<void> keep_audit(Database& database, const record::AuditEntry& entry) {
    if (entry.act.empty()) return out_of_order("an entry of the audit has to name an act");
    const std::int64_t station = station_row(database, entry.station);
    Query(database,
          "INSERT INTO audit (station, at, who, role, address, act, asked, status, before, after)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .with(station, entry.at, entry.who, entry.role, entry.address, entry.act, entry.asked,
              entry.status, entry.before, entry.after)
        .run();
    return {};
}

}  // namespace rows

Reader::Stored<std::vector<record::AuditEntry>> Reader::audit(const record::AuditFilter& filter) {
    return state_->ask<std::vector<record::AuditEntry>>([&](Database& database) {
        Query row(database,
                  "SELECT audit.id, station.name, at, who, role, address, act, asked, status,"
                  " before, after FROM audit JOIN station ON station.id = audit.station"
                  " WHERE (?1 IS NULL OR at >= ?1) AND (?2 IS NULL OR at < ?2)"
                  " AND (?3 IS NULL OR who = ?3) AND (?4 IS NULL OR audit.id < ?4)"
                  " ORDER BY audit.id DESC LIMIT ?5");
        row.with(filter.since, filter.until, filter.who, filter.before, filter.most);
        std::vector<record::AuditEntry> found;
        while (row.next()) {
            record::AuditEntry& entry = found.emplace_back();
            entry.id = row.integer_at(0);
            entry.station = row.text_at(1);
            entry.at = row.time_at(2);
            entry.who = row.text_at(3);
            entry.role = row.text_at(4);
            entry.address = row.text_at(5);
            entry.act = row.text_at(6);
            entry.asked = row.text_at(7);
            entry.status = row.at<unsigned>(8);
            entry.before = row.text_at(9);
            entry.after = row.text_at(10);
        }
        return found;
    });
}

}  // namespace padtrim::ledger
