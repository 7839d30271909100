// Downtime and the removal of old observations, as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

namespace {

// One act's worth: nobody waits long behind it, and a stop in the middle loses nothing.
constexpr int runs_a_removal = 200;

Stored<void> must_say_who_and_why(const std::string& who, const std::string& why) {
    if (who.empty() || why.empty()) return out_of_order("who and why must be given");
    return {};
}

}  // namespace

Stored<std::int64_t> begin_downtime(Database& database, const record::Downtime& downtime) {
    const Stored<void> signed_for = must_say_who_and_why(downtime.who, downtime.reason);
    if (!signed_for) return signed_for.error();
    if (downtime.ended && *downtime.ended < downtime.began)
        return out_of_order("a downtime cannot end before it began: correct one of the times");
    const std::int64_t station = station_row(database, downtime.station);
    Query open(database,
               "SELECT id FROM downtime WHERE station = ? AND NOT EXISTS"
               " (SELECT 1 FROM downtime_end WHERE downtime_end.downtime = downtime.id)");
    if (!downtime.ended && open.with(station).next())
        return out_of_order("station '" + downtime.station +
                            "' stands still already: end that downtime first");
    Query(database,
          "INSERT INTO downtime (station, began, planned, reason, who, note)"
          " VALUES (?, ?, ?, ?, ?, ?)")
        .with(station, downtime.began, downtime.planned, downtime.reason, downtime.who,
              downtime.note)
        .run();
    const std::int64_t id = database.getLastInsertRowid();
    if (downtime.ended) {
        const std::string& by = downtime.ended_by.empty() ? downtime.who : downtime.ended_by;
        Query(database, "INSERT INTO downtime_end (downtime, ended, who) VALUES (?, ?, ?)")
            .with(id, *downtime.ended, by)
            .run();
    }
    return id;
}

Stored<void> end_downtime(Database& database, const std::string& station, const std::string& who,
                          record::WallTime at) {
    if (who.empty()) return out_of_order("who ended the downtime must be given");
    Query open(database,
               "SELECT downtime.id, downtime.began FROM downtime"
               " JOIN station ON station.id = downtime.station WHERE station.name = ?"
               " AND NOT EXISTS (SELECT 1 FROM downtime_end"
               "                 WHERE downtime_end.downtime = downtime.id)"
               " ORDER BY downtime.id DESC LIMIT 1");
    if (!open.with(station).next())
        return out_of_order("station '" + station + "' has no downtime to end");
    if (at < open.time_at(1))
        return out_of_order("a downtime cannot end before it began: correct one of the times");
    Query(database, "INSERT INTO downtime_end (downtime, ended, who) VALUES (?, ?, ?)")
        .with(open.integer_at(0), at, who)
        .run();
    return {};
}

Stored<record::Removal> remove_observations(Database& database, const record::Removal& wanted) {
    const Stored<void> signed_for = must_say_who_and_why(wanted.who, wanted.why);
    if (!signed_for) return signed_for.error();
    if (wanted.ended_before > wanted.at)
        return out_of_order("only observations of the past can be removed");
    record::Removal removal = wanted;
    Query old(database,
              "SELECT observation.run, length(observation.packed) FROM observation"
              " JOIN run_end ON run_end.run = observation.run WHERE run_end.at < ?"
              " ORDER BY observation.run LIMIT ?");
    std::vector<std::pair<record::RunId, std::int64_t>> runs;
    old.with(wanted.ended_before, runs_a_removal);
    while (old.next()) runs.emplace_back(old.integer_at(0), old.integer_at(1));
    if (runs.empty()) return removal;
    Query(database,
          "INSERT INTO observation_removal (ended_before, at, who, why) VALUES (?, ?, ?, ?)")
        .with(wanted.ended_before, wanted.at, wanted.who, wanted.why)
        .run();
    removal.id = database.getLastInsertRowid();
    Query sign(database, "INSERT INTO removed_observation (run, removal, bytes) VALUES (?, ?, ?)");
    Query remove(database, "DELETE FROM observation WHERE run = ?");
    for (const auto& [run, bytes] : runs) {
        sign.with(run, removal.id, bytes).run();
        remove.with(run).run();
        removal.bytes += static_cast<std::uint64_t>(bytes);
    }
    removal.runs = runs.size();
    return removal;
}

}  // namespace padtrim::ledger::rows
