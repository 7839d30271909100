// When shifts begin, as rows.
#include "db/ledger/shift_hour_rows.hpp"

#include <algorithm>

#include "db/ledger/rollup_rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

namespace {

constexpr int minutes_a_day = 24 * 60;

bool ascending_in_a_day(const std::vector<int>& begins) {
    return !begins.empty() && begins.front() >= 0 && begins.back() < minutes_a_day &&
           std::adjacent_find(begins.begin(), begins.end(), std::greater_equal<>()) == begins.end();
}

std::int64_t newest_id(Database& database, const char* query) {
    return database.execAndGet(query).getInt64();
}

}  // namespace

record::ShiftHours shift_hours(Database& database, std::int64_t station,
                               std::optional<record::RunId> run,
                               std::optional<std::int64_t> set_aside) {
    record::ShiftHours hours;
    Query newest(database,
                 "SELECT id FROM shift_hours WHERE station = ?1 AND (?2 IS NULL OR after_run < ?2)"
                 " AND (?3 IS NULL OR after_set_aside < ?3) ORDER BY id DESC LIMIT 1");
    if (!newest.with(station, run, set_aside).next()) return hours;
    Query begin(database, "SELECT minute FROM shift_begin WHERE hours = ? ORDER BY shift");
    begin.with(newest.integer_at(0));
    hours.begins.clear();
    while (begin.next()) hours.begins.push_back(begin.at<int>(0));
    return hours;
}

Stored<void> set_shift_hours(Database& database, const record::ShiftHoursChange& change) {
    if (change.who.empty() || change.why.empty())
        return out_of_order("shift hours need a name and a reason");
    if (!ascending_in_a_day(change.hours.begins))
        return out_of_order(
            "shift hours must be ascending minutes after midnight UTC, from 0 to 1439: correct "
            "them, or leave the shifts as they are");
    Query(database,
          "INSERT INTO shift_hours (station, after_run, after_set_aside, at, who, why)"
          " VALUES (?, ?, ?, ?, ?, ?)")
        .with(station_row(database, change.station),
              newest_id(database, "SELECT coalesce(max(id), 0) FROM run"),
              newest_id(database, "SELECT coalesce(max(id), 0) FROM set_aside"), change.at,
              change.who, change.why)
        .run();
    const std::int64_t hours = database.getLastInsertRowid();
    Query insert(database, "INSERT INTO shift_begin (hours, shift, minute) VALUES (?, ?, ?)");
    int shift = 0;
    for (const int minute : change.hours.begins) insert.with(hours, ++shift, minute).run();
    return {};
}

}  // namespace padtrim::ledger::rows
