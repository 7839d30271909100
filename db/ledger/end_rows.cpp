#include "db/ledger/observation_blob.hpp"
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

using record::WriteStage;

namespace {

struct End {
    std::string_view how;
    record::WallTime at;
    record::Verdict verdict;
    WriteStage stage;
    std::string reason, next_step, formula_version;
};

void insert_end(Database& database, record::RunId run, const End& end) {
    Query(database,
          "INSERT INTO run_end (run, how, at, verdict, stage, reason, next_step, formula_version)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
        .with(run, end.how, end.at, record::name_of(end.verdict), record::name_of(end.stage),
              end.reason, end.next_step, end.formula_version)
        .run();
}

void insert_disposition(Database& database, record::RunId run, record::Disposition disposition,
                        const std::string& who, const std::string& reason, record::WallTime at) {
    Query(database,
          "INSERT INTO disposition (run, at, disposition, who, reason) VALUES (?, ?, ?, ?, ?)")
        .with(run, at, record::name_of(disposition), who, reason)
        .run();
}

void note_ending(Database& database, record::RunId run) {
    Query(database, "INSERT INTO ending (run) VALUES (?)").with(run).run();
}

void insert_checks(Database& database, record::RunId run,
                   const std::vector<record::CheckResult>& checks) {
    Query insert(
        database,
        "INSERT INTO check_result (run, number, step, name, key, channel, frequency,"
        " stage, value, unit, standard_uncertainty, coverage_factor,"
        " expanded_uncertainty, low, high, margin, verdict, traceability, note,"
        " degrees_of_freedom) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    std::size_t number = 0;
    for (const record::CheckResult& check : checks)
        insert
            .with(run, number++, check.step, check.check, check.key,
                  where_it_applies(check.channel), where_it_applies(check.frequency),
                  record::name_of(check.stage), check.value, check.unit, check.standard_uncertainty,
                  check.coverage_factor, check.expanded_uncertainty, check.low, check.high,
                  check.margin, record::name_of(check.verdict), record::name_of(check.traceability),
                  check.note, check.degrees_of_freedom)
            .run();
}

void insert_lines(Database& database, record::RunId run,
                  const std::vector<record::ChannelLine>& lines) {
    Query insert(database,
                 "INSERT INTO channel_line (run, number, channel, frequency, key, gain,"
                 " \"offset\", gain_standard, offset_standard, covariance, gain_expanded,"
                 " offset_expanded, degrees_of_freedom)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    std::size_t number = 0;
    for (const record::ChannelLine& line : lines)
        insert
            .with(run, number++, line.channel, line.frequency, line.key, line.gain, line.offset,
                  line.gain_standard, line.offset_standard, line.covariance, line.gain_expanded,
                  line.offset_expanded, line.degrees_of_freedom)
            .run();
}

void insert_result(Database& database, record::RunId run, const record::UnitRecord& unit) {
    const record::UnitResult& result = unit.result;
    const End end{"finished",    unit.finished,    result.verdict,        unit.write_stage,
                  result.reason, result.next_step, result.formula_version};
    insert_end(database, run, end);
    insert_disposition(database, run, result.disposition, "station", result.reason, unit.finished);
    insert_checks(database, run, result.checks);
    insert_lines(database, run, result.lines);
}

}  // namespace

Stored<void> finish(Database& database, record::RunId run, const record::UnitRecord& unit) {
    const Stored<void> running = must_be_running(database, run);
    if (!running) return running.error();
    const WriteStage from = stage_reached(database, run);
    const bool claims_more = unit.write_stage > from;
    if (unit.write_stage < from || (claims_more && from == WriteStage::untouched))
        return wrong_stage(run, from, unit.write_stage);
    const Unpacked<Bytes> packed = pack(unit.observations);
    if (!packed) return out_of_order("run " + std::to_string(run) + ": " + packed.error().what);
    if (claims_more) insert_stage(database, run, unit.write_stage);
    insert_result(database, run, unit);
    Query(database, "INSERT INTO observation (run, packed) VALUES (?, ?)").with(run, *packed).run();
    note_ending(database, run);
    return {};
}

Stored<void> settle(Database& database, record::RunId run, record::Disposition disposition,
                    const std::string& reason, record::WallTime at) {
    const Stored<void> running = must_be_running(database, run);
    if (!running) return running.error();
    const End end{"settled", at, record::Verdict::no_verdict, stage_reached(database, run), reason,
                  "",        ""};
    insert_end(database, run, end);
    insert_disposition(database, run, disposition, "station", reason, at);
    note_ending(database, run);
    return {};
}

namespace {

bool half_written(WriteStage stage) {
    return stage != WriteStage::untouched && stage != WriteStage::verified;
}

bool blank(const std::string& text) {
    return text.find_first_not_of(" \t\r\n") == std::string::npos;
}

Stored<void> may_release(const std::string& unit, WriteStage stage, record::Disposition in_force) {
    if (half_written(stage))
        return out_of_order(unit +
                            " may be half-written and cannot be released: run it again, or "
                            "scrap it");
    if (in_force == record::Disposition::scrap)
        return out_of_order(unit +
                            " was scrapped and cannot be released at once: quarantine it first, "
                            "with the reason, and look at it again");
    return {};
}

Stored<void> may_decide(Database& database, record::RunId run, record::Disposition disposition,
                        const std::string& who, const std::string& reason) {
    Query row(database,
              "SELECT run_end.stage, (SELECT disposition FROM disposition"
              "  WHERE disposition.run = run_end.run ORDER BY id DESC LIMIT 1),"
              " (SELECT max(other.id) FROM run JOIN run AS other ON other.lot = run.lot"
              "  AND other.serial = run.serial AND run.serial <> ''"
              "  JOIN run_end AS end ON end.run = other.id WHERE run.id = run_end.run)"
              " FROM run_end WHERE run_end.run = ?");
    const std::string unit = "the unit of run " + std::to_string(run);
    if (!row.with(run).next())
        return out_of_order("run " + std::to_string(run) + " has not ended: nothing to decide yet");
    if (blank(who) || blank(reason))
        return out_of_order("a decision on " + unit + " needs a name and a reason");
    if (disposition == record::Disposition::undecided)
        return out_of_order("'undecided' is no decision on " + unit);
    if (!row.null_at(2) && row.integer_at(2) != run)
        return out_of_order(unit + " was run again: decide on run " + row.text_at(2));
    if (disposition != record::Disposition::released) return {};
    return may_release(unit, write_stage_of(row.text_at(0)), disposition_of(row.text_at(1)));
}

}  // namespace

Stored<void> decide(Database& database, record::RunId run, record::Disposition disposition,
                    const std::string& who, const std::string& reason, record::WallTime at) {
    const Stored<void> allowed = may_decide(database, run, disposition, who, reason);
    if (!allowed) return allowed.error();
    insert_disposition(database, run, disposition, who, reason, at);
    return {};
}

}  // namespace padtrim::ledger::rows
