// Lots reconciled, downtime, and what was removed.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

record::LotCount kept_count(Database& database, record::LotId lot) {
    Query row(database,
              "SELECT coalesce(sum(pass), 0), coalesce(sum(fail), 0),"
              " coalesce(sum(inconclusive), 0), coalesce(sum(no_verdict), 0),"
              " coalesce(sum(removed), 0) FROM rollup_scope"
              " JOIN rollup_units ON rollup_units.scope = rollup_scope.id"
              " WHERE family = 'lot' AND lot = ?");
    record::LotCount count;
    if (!row.with(lot).next()) return count;
    count.pass = row.at<std::uint32_t>(0);
    count.fail = row.at<std::uint32_t>(1);
    count.inconclusive = row.at<std::uint32_t>(2);
    count.no_verdict = row.at<std::uint32_t>(3);
    count.removed = row.at<std::uint32_t>(4);
    count.loaded = count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
    return count;
}

std::uint32_t& of_disposition(LotReconciliation& lot, record::Disposition disposition) {
    switch (disposition) {
        case record::Disposition::released:
            return lot.released;
        case record::Disposition::rework:
            return lot.rework;
        case record::Disposition::scrap:
            return lot.scrap;
        case record::Disposition::quarantined:
            return lot.quarantined;
        case record::Disposition::undecided:
            break;
    }
    return lot.undecided;
}

// Each unit by its newest ended run, and that run's newest disposition.
constexpr const char* disposition_query =
    "SELECT (SELECT disposition FROM disposition WHERE disposition.run = newest.run"
    "        ORDER BY id DESC LIMIT 1) AS in_force, count(*) FROM ("
    " SELECT max(run.id) AS run FROM run JOIN run_end ON run_end.run = run.id"
    " WHERE run.lot = ? GROUP BY coalesce(run.first_run, run.id)) AS newest GROUP BY in_force";

LotReconciliation read_reconciliation(Database& database, record::LotId lot) {
    LotReconciliation found;
    const auto counted = rows::count(database, lot);
    if (!counted) throw UnknownWord(counted.error().what);
    found.counted = *counted;
    found.kept = kept_count(database, lot);
    Query unfinished(database,
                     "SELECT count(*) FROM run LEFT JOIN run_end ON run_end.run = run.id"
                     " WHERE run.lot = ? AND run_end.run IS NULL");
    if (unfinished.with(lot).next()) found.unfinished = unfinished.at<std::uint32_t>(0);
    Query row(database, disposition_query);
    row.with(lot);
    while (row.next())
        of_disposition(found, disposition_of(row.text_at(0))) = row.at<std::uint32_t>(1);
    return found;
}

}  // namespace

Reader::Stored<LotReconciliation> Reader::reconcile(record::LotId lot) {
    return state_->ask<LotReconciliation>(
        [lot](Database& database) { return read_reconciliation(database, lot); });
}

Reader::Stored<std::vector<record::Downtime>> Reader::downtimes(
    const std::string& station, std::optional<record::WallTime> since,
    std::optional<record::WallTime> until) {
    return state_->ask<std::vector<record::Downtime>>([&](Database& database) {
        Query row(database,
                  "SELECT downtime.id, began, planned, reason, downtime.who, note, ended,"
                  " coalesce(downtime_end.who, '') FROM downtime"
                  " JOIN station ON station.id = downtime.station"
                  " LEFT JOIN downtime_end ON downtime_end.downtime = downtime.id"
                  " WHERE station.name = ?1 AND (?2 IS NULL OR ended IS NULL OR ended > ?2)"
                  " AND (?3 IS NULL OR began < ?3) ORDER BY began, downtime.id");
        row.with(station, since, until);
        std::vector<record::Downtime> found;
        while (row.next()) {
            record::Downtime& downtime = found.emplace_back();
            downtime.station = station;
            downtime.id = row.integer_at(0);
            downtime.began = row.time_at(1);
            downtime.planned = row.integer_at(2) != 0;
            downtime.reason = row.text_at(3);
            downtime.who = row.text_at(4);
            downtime.note = row.text_at(5);
            if (!row.null_at(6)) downtime.ended = row.time_at(6);
            downtime.ended_by = row.text_at(7);
        }
        return found;
    });
}

Reader::Stored<std::vector<record::Removal>> Reader::removals() {
    return state_->ask<std::vector<record::Removal>>([](Database& database) {
        Query row(database,
                  "SELECT id, ended_before, who, why, at, count(run), coalesce(sum(bytes), 0)"
                  " FROM observation_removal"
                  " LEFT JOIN removed_observation ON removed_observation.removal = id"
                  " GROUP BY id ORDER BY id DESC");
        std::vector<record::Removal> found;
        while (row.next()) {
            record::Removal& removal = found.emplace_back();
            removal.id = row.integer_at(0);
            removal.ended_before = row.time_at(1);
            removal.who = row.text_at(2);
            removal.why = row.text_at(3);
            removal.at = row.time_at(4);
            removal.runs = row.at<std::uint64_t>(5);
            removal.bytes = row.at<std::uint64_t>(6);
        }
        return found;
    });
}

}  // namespace padtrim::ledger
