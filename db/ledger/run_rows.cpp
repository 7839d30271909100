#include <algorithm>

#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

using record::WriteStage;

namespace {

struct FirstAttempt {
    std::uint32_t attempts = 0;
    std::optional<std::int64_t> first_run;
};

FirstAttempt earlier_attempts(Database& database, record::LotId lot, const std::string& serial) {
    FirstAttempt found;
    if (serial.empty()) return found;
    Query query(database, "SELECT count(*), min(id) FROM run WHERE lot = ? AND serial = ?");
    if (!query.with(lot, serial).next()) return found;
    found.attempts = query.at<std::uint32_t>(0);
    if (found.attempts > 0) found.first_run = query.integer_at(1);
    return found;
}

std::optional<std::int32_t> element(const std::vector<std::int32_t>& values, std::size_t i) {
    if (i >= values.size()) return std::nullopt;
    return values[i];
}

void insert_trims(Database& database, record::RunId run, const record::WriteIntent& intent) {
    Query insert(database,
                 "INSERT INTO write_intent_trim"
                 " (run, channel, found_gain, found_offset, gain, \"offset\")"
                 " VALUES (?, ?, ?, ?, ?, ?)");
    const auto& found = intent.as_found;
    const auto& wanted = intent.to_write;
    const std::size_t channels = std::max(
        {found.gain.size(), found.offset.size(), wanted.gain.size(), wanted.offset.size()});
    for (std::size_t i = 0; i < channels; ++i)
        insert
            .with(run, i, element(found.gain, i), element(found.offset, i), element(wanted.gain, i),
                  element(wanted.offset, i))
            .run();
}

}  // namespace

// Stages only go forward, so that the newest is the furthest; asked without an order, for that
// would make SQLite sort.
WriteStage stage_reached(Database& database, record::RunId run) {
    Query stages(database, "SELECT stage FROM write_stage WHERE run = ?");
    stages.with(run);
    WriteStage furthest = WriteStage::untouched;
    while (stages.next()) furthest = std::max(furthest, write_stage_of(stages.text_at(0)));
    return furthest;
}

Stored<void> must_be_running(Database& database, record::RunId run) {
    Query query(database,
                "SELECT run_end.run FROM run LEFT JOIN run_end ON run_end.run = run.id"
                " WHERE run.id = ?");
    if (!query.with(run).next()) return out_of_order("there is no run " + std::to_string(run));
    if (!query.null_at(0)) return out_of_order("run " + std::to_string(run) + " has ended");
    return {};
}

journal::StoreFault wrong_stage(record::RunId run, WriteStage from, WriteStage to) {
    return out_of_order("run " + std::to_string(run) + " cannot reach '" +
                        std::string(record::name_of(to)) + "' from '" +
                        std::string(record::name_of(from)) + "'");
}

void insert_stage(Database& database, record::RunId run, WriteStage stage) {
    Query(database, "INSERT INTO write_stage (run, stage) VALUES (?, ?)")
        .with(run, record::name_of(stage))
        .run();
}

namespace {
// Verdict, disposition and reason as they stand now: a person's later decision is newer.
Query newest_run(Database& database, const char* where) {
    const std::string sql =
        std::string(
            "SELECT run_end.verdict, disposition.disposition, disposition.reason"
            " FROM run JOIN run_end ON run_end.run = run.id"
            " JOIN disposition ON disposition.run = run.id WHERE ") +
        where + " ORDER BY run.id DESC, disposition.id DESC LIMIT 1";
    return Query(database, sql);
}

// Ended runs of the unit ?1 whose product is that of the lot ?2.
constexpr const char* of_unit_and_product =
    " FROM run JOIN run_end ON run_end.run = run.id JOIN lot ON lot.id = run.lot"
    " JOIN lot_opening ON lot_opening.id = run.opening"
    " JOIN plan ON plan.hash = lot_opening.plan"
    " LEFT JOIN opening_permission ON opening_permission.opening = run.opening"
    " JOIN disposition ON disposition.run = run.id"
    " WHERE run.serial = ?1"
    " AND plan.product = (SELECT plan.product FROM lot_opening"
    " JOIN plan ON plan.hash = lot_opening.plan WHERE lot_opening.lot = ?2"
    " ORDER BY lot_opening.id DESC LIMIT 1)";
// Nobody only looked or tried.
constexpr const char* in_production =
    " (lot.measure_only = 0 AND coalesce(opening_permission.kind, '') <> 'draft')";

// The unit's newest run in whatever other lot of this product. One that only measured and found
// nothing wrong, and a draft that did, change nothing about the unit's right to be shipped.
void note_pass_elsewhere(Database& database, record::LotId lot, const std::string& serial,
                         record::UnitStanding& standing) {
    Query newest(
        database,
        std::string("SELECT run_end.verdict, disposition.disposition, lot.name, run_end.at") +
            of_unit_and_product + " AND run.lot <> ?2 AND (run_end.verdict <> 'pass' OR" +
            in_production + ") ORDER BY run.id DESC, disposition.id DESC LIMIT 1");
    if (!newest.with(serial, lot).next()) return;
    if (verdict_of(newest.text_at(0)) != record::Verdict::pass ||
        disposition_of(newest.text_at(1)) != record::Disposition::released)
        return;
    standing.passed_in = newest.text_at(2);
    standing.passed_at = newest.time_at(3);
}

std::uint32_t not_passed(Database& database, record::LotId lot, const std::string& serial) {
    const std::string runs = std::string(of_unit_and_product) + " AND" + in_production;
    Query count(database,
                "SELECT count(DISTINCT run.id)" + runs +
                    " AND run_end.verdict IN ('fail', 'inconclusive') AND run.id > coalesce((SELECT"
                    " max(run.id)" +
                    runs + " AND (run_end.verdict = 'pass' OR disposition.who <> 'station')), 0)");
    return count.with(serial, lot).next() ? count.at<std::uint32_t>(0) : 0;
}

bool keeps_out(record::Disposition disposition) {
    return disposition == record::Disposition::quarantined ||
           disposition == record::Disposition::scrap;
}
}  // namespace

Stored<record::UnitStanding> standing(Database& database, record::LotId lot,
                                      const std::string& serial) {
    record::UnitStanding standing;
    standing.attempts = earlier_attempts(database, lot, serial).attempts;
    if (serial.empty()) return standing;
    note_pass_elsewhere(database, lot, serial, standing);
    standing.not_passed = not_passed(database, lot, serial);
    Query anywhere = newest_run(database, "run.serial = ?");
    Query in_lot = newest_run(database, "run.serial = ? AND run.lot = ?");
    // Quarantine and scrap go with the unit, whatever lot it comes in.
    const bool kept_out =
        anywhere.with(serial).next() && keeps_out(disposition_of(anywhere.text_at(1)));
    if (!kept_out && !in_lot.with(serial, lot).next()) return standing;
    Query& newest = kept_out ? anywhere : in_lot;
    standing.finished = true;
    standing.verdict = verdict_of(newest.text_at(0));
    standing.disposition = disposition_of(newest.text_at(1));
    standing.reason = newest.text_at(2);
    return standing;
}

Stored<record::RunId> start_run(Database& database, const record::RunStart& start) {
    const Stored<std::int64_t> opening = open_opening(database, start.lot);
    if (!opening) return opening.error();
    const FirstAttempt earlier = earlier_attempts(database, start.lot, start.serial);
    Query(database,
          "INSERT INTO run (opening, lot, nest, serial, label, attempt, first_run, started)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
        .with(*opening, start.lot, start.nest, start.serial, start.label, earlier.attempts + 1,
              earlier.first_run, start.at)
        .run();
    return database.getLastInsertRowid();
}

Stored<void> intend(Database& database, record::RunId run, const record::WriteIntent& intent) {
    const Stored<void> running = must_be_running(database, run);
    if (!running) return running.error();
    if (stage_reached(database, run) != WriteStage::untouched)
        return out_of_order("run " + std::to_string(run) + " has an intent already");
    Query(database, "INSERT INTO write_intent (run, at) VALUES (?, ?)").with(run, intent.at).run();
    insert_trims(database, run, intent);
    insert_stage(database, run, WriteStage::intended);
    return {};
}

Stored<void> reached(Database& database, record::RunId run, WriteStage stage) {
    const Stored<void> running = must_be_running(database, run);
    if (!running) return running.error();
    const WriteStage from = stage_reached(database, run);
    if (from == WriteStage::untouched || stage <= from) return wrong_stage(run, from, stage);
    insert_stage(database, run, stage);
    return {};
}

Stored<std::vector<record::UnfinishedRun>> unfinished(Database& database,
                                                      const std::string& station) {
    Query query(database,
                "SELECT run.id, run.lot, lot.name, run.serial, run.nest, run.started"
                " FROM run JOIN lot ON lot.id = run.lot JOIN station ON station.id = lot.station"
                " LEFT JOIN run_end ON run_end.run = run.id"
                " WHERE run_end.run IS NULL AND station.name = ? ORDER BY run.id");
    query.with(station);
    std::vector<record::UnfinishedRun> found;
    while (query.next()) {
        record::UnfinishedRun run;
        run.run = query.integer_at(0);
        run.lot = query.integer_at(1);
        run.lot_name = query.text_at(2);
        run.serial = query.text_at(3);
        run.nest = query.at<std::uint16_t>(4);
        run.started = query.time_at(5);
        run.stage = stage_reached(database, run.run);
        found.push_back(std::move(run));
    }
    return found;
}

}  // namespace padtrim::ledger::rows
