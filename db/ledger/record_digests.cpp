#include "db/ledger/record_digests.hpp"

#include <SQLiteCpp/Column.h>

namespace padtrim::ledger {

namespace {

// Each value with its kind, so that no two rows have the same bytes.
void write_value(ByteWriter& writer, const SQLite::Column& value) {
    if (value.isNull()) {
        writer.byte(0);
    } else if (value.isInteger()) {
        writer.byte(1);
        writer.integer(value.getInt64());
    } else if (value.isFloat()) {
        writer.byte(2);
        writer.real(value.getDouble());
    } else {
        writer.byte(value.isText() ? 3 : 4);
        const auto* bytes = static_cast<const char*>(value.getBlob());
        writer.text({bytes, static_cast<std::size_t>(value.getBytes())});
    }
}

void write_digest(ByteWriter& writer, const std::optional<Digest>& digest) {
    writer.flag(digest.has_value());
    if (!digest) return;
    for (const std::uint8_t byte : *digest) writer.byte(byte);
}

}  // namespace

RecordDigests::RecordDigests(Database& database)
    : disposition_{"disposition",
                   Query(database,
                         "SELECT id, run, at, disposition, who, reason FROM disposition"
                         " WHERE id = ?")},
      removal_{"observation_removal",
               Query(database,
                     "SELECT id, ended_before, at, who, why FROM observation_removal"
                     " WHERE id = ?")},
      removed_{"removed_observation",
               Query(database,
                     "SELECT run, bytes FROM removed_observation WHERE removal = ? ORDER BY run")},
      observation_(database, "SELECT packed FROM observation WHERE run = ?") {
    const auto add = [&](std::string_view name, const char* query) {
        run_parts_.push_back({name, Query(database, query)});
    };
    add("run",
        "SELECT run.id, station.name, lot.id, lot.name, lot.measure_only, lot_opening.id,"
        " lot_opening.plan, lot_opening.operator, lot_opening.at, run.nest, run.serial, run.label,"
        " run.attempt, run.first_run, run.started FROM run JOIN lot ON lot.id = run.lot"
        " JOIN station ON station.id = lot.station JOIN lot_opening ON lot_opening.id = run.opening"
        " WHERE run.id = ?");
    add("run_end",
        "SELECT how, at, verdict, stage, reason, next_step, formula_version FROM run_end"
        " WHERE run = ?");
    add("disposition",
        "SELECT id, at, disposition, who, reason FROM disposition WHERE run = ? ORDER BY id"
        " LIMIT 1");
    add("write_intent", "SELECT at FROM write_intent WHERE run = ?");
    add("write_intent_trim",
        "SELECT channel, found_gain, found_offset, gain, \"offset\" FROM write_intent_trim"
        " WHERE run = ? ORDER BY channel");
    add("write_stage", "SELECT id, stage FROM write_stage WHERE run = ? ORDER BY id");
    add("check_result",
        "SELECT number, step, name, key, channel, frequency, stage, value, unit,"
        " standard_uncertainty, coverage_factor, expanded_uncertainty, low, high, margin, verdict,"
        " traceability, note, degrees_of_freedom FROM check_result WHERE run = ? ORDER BY number");
    add("channel_line",
        "SELECT number, channel, frequency, key, gain, \"offset\", gain_standard, offset_standard,"
        " covariance, gain_expanded, offset_expanded, degrees_of_freedom FROM channel_line"
        " WHERE run = ? ORDER BY number");
}

std::size_t write_rows(ByteWriter& writer, Query& rows) {
    std::size_t count = 0;
    for (; rows.next(); ++count) {
        writer.byte(1);
        for (int i = 0; i < rows.columns(); ++i) write_value(writer, rows.column(i));
    }
    writer.byte(0);
    rows.rest();
    return count;
}

std::size_t RecordDigests::write(ByteWriter& writer, Part& part, std::int64_t id) {
    writer.text(part.name);
    return write_rows(writer, part.rows.with(id));
}

std::optional<Digest> RecordDigests::of_observation(record::RunId run) {
    std::optional<Digest> digest;
    if (observation_.with(run).next()) digest = digest_of(observation_.bytes_at(0));
    observation_.rest();
    return digest;
}

std::optional<Digest> RecordDigests::of_run(record::RunId run,
                                            const std::optional<Digest>& observation) {
    ByteWriter writer;
    bool complete = true;
    for (std::size_t i = 0; i < run_parts_.size(); ++i) {
        const std::size_t rows = write(writer, run_parts_[i], run);
        if (i < 3 && rows == 0) complete = false;  // run, run_end and disposition
    }
    if (!complete) return std::nullopt;
    write_digest(writer, observation);
    return digest_of(writer.bytes());
}

std::optional<Digest> RecordDigests::of_disposition(std::int64_t id) {
    ByteWriter writer;
    if (write(writer, disposition_, id) == 0) return std::nullopt;
    return digest_of(writer.bytes());
}

std::optional<Digest> RecordDigests::of_removal(std::int64_t id) {
    ByteWriter writer;
    if (write(writer, removal_, id) == 0) return std::nullopt;
    write(writer, removed_, id);
    return digest_of(writer.bytes());
}

}  // namespace padtrim::ledger
