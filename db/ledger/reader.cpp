#include "db/ledger/reader.hpp"

#include <algorithm>

#include "db/ledger/check_rows.hpp"
#include "db/ledger/observation_blob.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

constexpr const char* summary_query =
    "SELECT run.id, run.lot, lot.name, station.name, lot.measure_only, plan.recipe,"
    " plan.recipe_revision, plan.product, plan.fixture, plan.hash, run.nest, run.serial,"
    " run.label, run.attempt, run.started, run_end.at, run_end.how, run_end.verdict,"
    " (SELECT disposition FROM disposition WHERE disposition.run = run.id ORDER BY id DESC LIMIT "
    "1),"
    " coalesce(run_end.stage, (SELECT stage FROM write_stage WHERE write_stage.run = run.id"
    "                          ORDER BY id DESC LIMIT 1), 'untouched'),"
    " run_end.reason, run_end.next_step, run_end.formula_version,"
    " coalesce(run.first_run, run.id), opening_permission.kind,"
    " coalesce(opening_permission.release, opening_permission.permit, 0)"
    " FROM run JOIN lot ON lot.id = run.lot JOIN station ON station.id = lot.station"
    " JOIN lot_opening ON lot_opening.id = run.opening"
    " JOIN plan ON plan.hash = lot_opening.plan"
    " LEFT JOIN opening_permission ON opening_permission.opening = run.opening"
    " LEFT JOIN run_end ON run_end.run = run.id";

void read_end(Query& row, RunSummary& summary) {
    if (row.null_at(15)) return;
    summary.ended = row.time_at(15);
    summary.settled = row.text_at(16) == "settled";
    summary.verdict = verdict_of(row.text_at(17));
    summary.disposition = disposition_of(row.text_at(18));
    summary.reason = row.text_at(20);
    summary.next_step = row.text_at(21);
    summary.formula_version = row.text_at(22);
}

RunSummary read_summary(Query& row) {
    RunSummary summary;
    summary.run = row.integer_at(0);
    summary.lot = row.integer_at(1);
    summary.lot_name = row.text_at(2);
    summary.station = row.text_at(3);
    summary.measure_only = row.integer_at(4) != 0;
    summary.recipe = row.text_at(5);
    summary.recipe_revision = row.text_at(6);
    summary.product = row.text_at(7);
    summary.fixture = row.text_at(8);
    summary.plan_hash = row.text_at(9);
    summary.nest = row.at<std::uint16_t>(10);
    summary.serial = row.text_at(11);
    summary.label = row.text_at(12);
    summary.attempt = row.at<std::uint32_t>(13);
    summary.started = row.time_at(14);
    summary.write_stage = write_stage_of(row.text_at(19));
    summary.unit = row.integer_at(23);
    if (!row.null_at(24)) {
        summary.permission = {permission_of(row.text_at(24)), row.integer_at(25)};
    }
    read_end(row, summary);
    return summary;
}

std::vector<record::ChannelLine> read_lines(Database& database, record::RunId run) {
    Query row(database,
              "SELECT channel, frequency, key, gain, \"offset\", gain_standard, offset_standard,"
              " covariance, gain_expanded, offset_expanded, degrees_of_freedom"
              " FROM channel_line WHERE run = ? ORDER BY number");
    row.with(run);
    std::vector<record::ChannelLine> lines;
    while (row.next())
        lines.push_back({row.at<int>(0), row.at<int>(1), row.text_at(2), row.number_at(3),
                         row.number_at(4), row.number_at(5), row.number_at(6), row.number_at(7),
                         row.number_at(8), row.number_at(9), row.number_at(10)});
    return lines;
}

void push_if_there(std::vector<std::int32_t>& values, Query& row, int column) {
    if (!row.null_at(column)) values.push_back(row.at<std::int32_t>(column));
}

std::optional<record::WriteIntent> read_intent(Database& database, record::RunId run) {
    Query known(database, "SELECT at FROM write_intent WHERE run = ?");
    if (!known.with(run).next()) return std::nullopt;
    record::WriteIntent intent;
    intent.at = known.time_at(0);
    intent.as_found.moment = record::TrimMoment::as_found;
    intent.to_write.moment = record::TrimMoment::written;
    Query row(database,
              "SELECT found_gain, found_offset, gain, \"offset\" FROM write_intent_trim"
              " WHERE run = ? ORDER BY channel");
    row.with(run);
    while (row.next()) {
        push_if_there(intent.as_found.gain, row, 0);
        push_if_there(intent.as_found.offset, row, 1);
        push_if_there(intent.to_write.gain, row, 2);
        push_if_there(intent.to_write.offset, row, 3);
    }
    return intent;
}

std::vector<record::WriteStage> read_stages(Database& database, record::RunId run) {
    Query row(database, "SELECT stage FROM write_stage WHERE run = ? ORDER BY id");
    row.with(run);
    std::vector<record::WriteStage> stages;
    while (row.next()) stages.push_back(write_stage_of(row.text_at(0)));
    return stages;
}

std::vector<DispositionChange> read_dispositions(Database& database, record::RunId run) {
    Query row(database,
              "SELECT disposition, who, reason, at FROM disposition WHERE run = ? ORDER BY id");
    row.with(run);
    std::vector<DispositionChange> changes;
    while (row.next())
        changes.push_back(
            {disposition_of(row.text_at(0)), row.text_at(1), row.text_at(2), row.time_at(3)});
    return changes;
}

std::optional<record::Observations> read_observations(Database& database, record::RunId run) {
    Query row(database, "SELECT packed FROM observation WHERE run = ?");
    if (!row.with(run).next()) return std::nullopt;
    Unpacked<record::Observations> observations = unpack(row.bytes_at(0));
    if (!observations)
        throw UnknownWord("run " + std::to_string(run) + ": " + observations.error().what);
    return std::move(*observations);
}

// Verdict, disposition and sentences as they were at the run's end; later decisions stand apart.
record::UnitResult read_result(Database& database, const StoredRun& run) {
    record::UnitResult result;
    result.formula_version = run.summary.formula_version;
    result.checks = CheckRows(database).of(run.summary.run);
    result.lines = read_lines(database, run.summary.run);
    result.verdict = run.summary.verdict;
    if (!run.dispositions.empty()) result.disposition = run.dispositions.front().disposition;
    result.reason = run.summary.reason;
    result.next_step = run.summary.next_step;
    return result;
}

std::optional<StoredRun> read_run(Database& database, record::RunId run) {
    Query row(database, std::string(summary_query) + " WHERE run.id = ?");
    if (!row.with(run).next()) return std::nullopt;
    StoredRun stored;
    stored.summary = read_summary(row);
    Query plan(database, "SELECT text FROM plan WHERE hash = ?");
    if (plan.with(stored.summary.plan_hash).next()) stored.plan_text = plan.text_at(0);
    stored.observations = read_observations(database, run);
    stored.intent = read_intent(database, run);
    stored.stages = read_stages(database, run);
    stored.dispositions = read_dispositions(database, run);
    stored.result = read_result(database, stored);
    return stored;
}

}  // namespace

Reader::Reader(std::unique_ptr<State> state) : state_(std::move(state)) {}
Reader::~Reader() = default;

Reader::Stored<std::unique_ptr<Reader>> Reader::open(const std::string& path, Pages pages) {
    Stored<Connection> database = open_for_reading(path);
    if (!database) return database.error();
    if (pages == Pages::mapped) (void)(*database)->tryExec("PRAGMA mmap_size = 17179869184");
    auto state = std::make_unique<State>(State{path, std::move(*database), {}});
    return std::unique_ptr<Reader>(new Reader(std::move(state)));
}

Reader::Stored<std::vector<RunSummary>> Reader::runs_of(const std::string& serial) {
    return state_->ask<std::vector<RunSummary>>([&](Database& database) {
        const std::string which =
            " WHERE run.serial = ?1 OR (?1 <> '' AND run.serial = '' AND run.label = ?1)"
            " ORDER BY run.id";
        Query row(database, summary_query + which);
        row.with(serial);
        std::vector<RunSummary> runs;
        while (row.next()) runs.push_back(read_summary(row));
        return runs;
    });
}

Reader::Stored<std::optional<StoredRun>> Reader::stored_run(record::RunId run) {
    return state_->ask<std::optional<StoredRun>>(
        [run](Database& database) { return read_run(database, run); });
}

namespace {

// Only what is asked for stands in the text, so that SQLite can go by the index that fits; the
// sign keeps it from going through all runs to have them in order. ?1 to ?9 as with_filter gives
// them.
std::string asked_for(const RunFilter& filter) {
    std::string which = " WHERE lot.measure_only = ?1";
    const auto add = [&](bool asked, const char* condition) {
        if (asked) which.append(" AND ").append(condition);
    };
    add(filter.since.has_value(), "run.started >= ?2");
    add(filter.until.has_value(), "run.started < ?3");
    add(filter.lot.has_value(), "run.lot IN (SELECT id FROM lot WHERE name = ?4)");
    add(filter.recipe.has_value(), "plan.recipe = ?5");
    add(filter.recipe_revision.has_value(), "plan.recipe_revision = ?6");
    add(filter.product.has_value(), "plan.product = ?7");
    add(true, "(?8 IS NULL OR station.name = ?8)");
    // Named always, since a parameter that is not cannot be given.
    add(true, filter.after ? "run.id > ?9" : "?9 IS NULL");
    add(filter.released, "coalesce(opening_permission.kind <> 'draft', 1)");
    return which;
}
std::string which_runs(const RunFilter& filter, bool newest) {
    const std::string which =
        asked_for(filter) +
        " AND EXISTS (SELECT 1 FROM observation WHERE observation.run = run.id)";
    const bool few = filter.lot || filter.since || filter.until;
    return which + " ORDER BY " + (few ? "+" : "") + "run.id" + (newest ? " DESC LIMIT 1" : "");
}

Query& with_filter(Query& row, const RunFilter& filter) {
    return row.with(filter.measure_only, filter.since, filter.until, filter.lot, filter.recipe,
                    filter.recipe_revision, filter.product, filter.station, filter.after);
}

}  // namespace

Reader::Stored<std::vector<RunSummary>> Reader::runs(const RunFilter& filter) {
    return state_->ask<std::vector<RunSummary>>([&](Database& database) {
        Query row(database, summary_query + which_runs(filter, false));
        with_filter(row, filter);
        std::vector<RunSummary> runs;
        while (row.next()) runs.push_back(read_summary(row));
        return runs;
    });
}

Reader::Stored<std::optional<RunSummary>> Reader::newest_run(const RunFilter& filter) {
    return state_->ask<std::optional<RunSummary>>(
        [&](Database& database) -> std::optional<RunSummary> {
            Query row(database, summary_query + which_runs(filter, true));
            if (!with_filter(row, filter).next()) return std::nullopt;
            return read_summary(row);
        });
}

Reader::Stored<std::optional<record::RunId>> Reader::run_before(const RunFilter& filter,
                                                                record::RunId from,
                                                                std::size_t runs) {
    return state_->ask<std::optional<record::RunId>>(
        [&](Database& database) -> std::optional<record::RunId> {
            Query row(database, summary_query + asked_for(filter) +
                                    " AND run.id <= ?10 ORDER BY run.id DESC LIMIT 1 OFFSET ?11");
            row.with(filter.measure_only, filter.since, filter.until, filter.lot, filter.recipe,
                     filter.recipe_revision, filter.product, filter.station, filter.after, from,
                     static_cast<std::int64_t>(runs));
            if (!row.next()) return std::nullopt;
            return read_summary(row).run;
        });
}

// Few units are in another disposition than the station gave most of them, and decisions are
// looked up from there.
Reader::Stored<std::vector<RunSummary>> Reader::disposed(
    const RunFilter& filter, const std::vector<record::Disposition>& which, std::size_t most) {
    return state_->ask<std::vector<RunSummary>>([&](Database& database) {
        Query row(database,
                  summary_query +
                      (" JOIN disposition AS decided ON decided.run = run.id" + asked_for(filter)) +
                      " AND decided.disposition = ?10 AND decided.id ="
                      "  (SELECT max(id) FROM disposition WHERE run = run_end.run)"
                      " AND NOT EXISTS (SELECT 1 FROM run AS later"
                      "  JOIN run_end AS ended ON ended.run = later.id"
                      "  WHERE later.lot = run.lot AND later.serial = run.serial"
                      "  AND run.serial <> '' AND later.id > run.id)"
                      " ORDER BY run.id DESC LIMIT ?11");
        std::vector<RunSummary> runs;
        for (const auto disposition : which) {
            row.with(filter.measure_only, filter.since, filter.until, filter.lot, filter.recipe,
                     filter.recipe_revision, filter.product, filter.station, filter.after,
                     record::name_of(disposition), static_cast<std::int64_t>(most));
            while (row.next()) runs.push_back(read_summary(row));
        }
        std::sort(runs.begin(), runs.end(),
                  [](const RunSummary& a, const RunSummary& b) { return a.run > b.run; });
        if (runs.size() > most) runs.resize(most);
        return runs;
    });
}

Reader::Stored<std::vector<DispositionChange>> Reader::dispositions_of(record::RunId run) {
    return state_->ask<std::vector<DispositionChange>>(
        [run](Database& database) { return read_dispositions(database, run); });
}

Reader::Stored<std::optional<record::UnitResult>> Reader::result_of(record::RunId run) {
    return state_->ask<std::optional<record::UnitResult>>(
        [run](Database& database) -> std::optional<record::UnitResult> {
            Query row(database, std::string(summary_query) + " WHERE run.id = ?");
            if (!row.with(run).next() || row.null_at(15)) return std::nullopt;
            StoredRun stored;
            stored.summary = read_summary(row);
            stored.dispositions = read_dispositions(database, run);
            return read_result(database, stored);
        });
}

Reader::Stored<std::optional<std::string>> Reader::plan_text(const std::string& hash) {
    return state_->ask<std::optional<std::string>>(
        [&](Database& database) -> std::optional<std::string> {
            Query row(database, "SELECT text FROM plan WHERE hash = ?");
            if (!row.with(hash).next()) return std::nullopt;
            return row.text_at(0);
        });
}

std::shared_ptr<const void>& Reader::kept_of_plan(const std::string& hash) {
    return state_->of_plans[hash];
}

Reader::Stored<std::vector<RunSummary>> Reader::summaries(const std::vector<record::RunId>& runs) {
    return state_->ask<std::vector<RunSummary>>([&](Database& database) {
        Query row(database, std::string(summary_query) + " WHERE run.id = ?");
        std::vector<RunSummary> found;
        for (const record::RunId run : runs) {
            if (row.with(run).next()) found.push_back(read_summary(row));
        }
        return found;
    });
}

}  // namespace padtrim::ledger
