#include "station/answers/export_rows.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/object.hpp>

#include "recipes/language/load.hpp"
#include "station/answers/chart.hpp"

namespace padtrim::answers {
namespace {

using Rows = std::vector<std::vector<TableCell>>;

constexpr std::size_t runs_together = 200;

TableCell exact_cell(double value) {
    return std::isfinite(value) ? TableCell(exact(value), value) : TableCell("");
}
TableCell exact_cell(const std::optional<double>& value) {
    return value ? exact_cell(*value) : TableCell("");
}
// -1: does not apply.
TableCell place_cell(int number) {
    return number < 0 ? TableCell("") : TableCell(std::to_string(number), number);
}
TableCell whole_cell(std::int64_t number) {
    return {std::to_string(number), static_cast<double>(number)};
}

std::vector<std::string> columns_of(ExportOf what) {
    switch (what) {
        case ExportOf::checks:
            return {"run",
                    "serial",
                    "lot",
                    "began",
                    "step",
                    "check",
                    "key",
                    "channel",
                    "frequency",
                    "stage",
                    "value",
                    "unit",
                    "standard_uncertainty",
                    "degrees_of_freedom",
                    "coverage_factor",
                    "low",
                    "high",
                    "verdict"};
        case ExportOf::lines:
            return {"run",
                    "serial",
                    "lot",
                    "began",
                    "key",
                    "channel",
                    "frequency",
                    "gain",
                    "offset",
                    "gain_standard",
                    "offset_standard",
                    "covariance",
                    "degrees_of_freedom"};
        case ExportOf::readings:
            return {"run",       "serial",     "lot",      "step",      "reading",
                    "reference", "finger_key", "finger_x", "finger_y",  "finger_z",
                    "scan",      "at_us",      "channel",  "frequency", "counts"};
        default:
            return {"run",
                    "unit",
                    "serial",
                    "label",
                    "lot",
                    "station",
                    "nest",
                    "attempt",
                    "began",
                    "ended",
                    "verdict",
                    "disposition",
                    "write_stage",
                    "product",
                    "recipe",
                    "recipe_revision",
                    "fixture",
                    "plan",
                    "formula_version",
                    "reason"};
    }
}

std::vector<TableCell> unit_row(const ledger::RunSummary& run) {
    return {whole_cell(run.run),
            whole_cell(run.unit),
            run.serial,
            run.label,
            run.lot_name,
            run.station,
            whole_cell(run.nest),
            whole_cell(run.attempt),
            iso_8601(run.started),
            run.ended ? iso_8601(*run.ended) : std::string(),
            std::string(record::name_of(run.verdict)),
            std::string(record::name_of(run.disposition)),
            std::string(record::name_of(run.write_stage)),
            run.product,
            run.recipe,
            run.recipe_revision,
            run.fixture,
            run.plan_hash,
            run.formula_version,
            run.reason};
}

std::vector<TableCell> head_of(const ledger::RunSummary& run) {
    return {whole_cell(run.run), run.serial, run.lot_name};
}

template <class More>
std::vector<TableCell> joined(std::vector<TableCell> head, More more) {
    head.insert(head.end(), more.begin(), more.end());
    return head;
}

bool wished(const ledger::CheckValue& value, const QualityWish& wish) {
    return (!wish.key || value.key == *wish.key) && (!wish.step || value.step == *wish.step) &&
           (!wish.channel || value.channel == *wish.channel) &&
           (!wish.frequency || value.frequency == *wish.frequency);
}

std::vector<TableCell> check_row(const ledger::RunSummary& run, const ledger::CheckValue& value,
                                 record::Stage stage) {
    return joined(head_of(run),
                  std::vector<TableCell>{
                      iso_8601(run.started), value.step, value.check, value.key,
                      place_cell(value.channel), place_cell(value.frequency),
                      std::string(record::name_of(stage)), exact_cell(value.value), value.measure,
                      exact_cell(value.standard_uncertainty), exact_cell(value.degrees_of_freedom),
                      exact_cell(value.coverage_factor), exact_cell(value.low),
                      exact_cell(value.high), std::string(record::name_of(value.verdict))});
}

std::vector<TableCell> line_row(const ledger::RunSummary& run, const record::ChannelLine& line) {
    return joined(head_of(run),
                  std::vector<TableCell>{
                      iso_8601(run.started), line.key, place_cell(line.channel),
                      place_cell(line.frequency), exact_cell(line.gain), exact_cell(line.offset),
                      exact_cell(line.gain_standard), exact_cell(line.offset_standard),
                      exact_cell(line.covariance), exact_cell(line.degrees_of_freedom)});
}

void add_scan(Rows& rows, const ledger::RunSummary& run, const record::Readings& readings,
              const record::Scan& scan, std::size_t frequencies) {
    const auto& held = readings.situation;
    const auto& finger = held.finger;
    const auto millimetres = [&](Millimetre record::FingerPose::*which) {
        return finger ? exact_cell(((*finger).*which).value()) : TableCell("");
    };
    for (std::size_t i = 0; i < scan.counts.size(); ++i)
        rows.push_back(joined(
            head_of(run),
            std::vector<TableCell>{
                readings.step, held.reading == record::Reading::raw ? "raw" : "corrected",
                held.reference, finger ? finger->key : std::string(),
                millimetres(&record::FingerPose::x), millimetres(&record::FingerPose::y),
                millimetres(&record::FingerPose::z), whole_cell(scan.counter),
                whole_cell(scan.at_us), whole_cell(static_cast<std::int64_t>(i / frequencies)),
                whole_cell(static_cast<std::int64_t>(i % frequencies)),
                whole_cell(scan.counts[i])}));
}

// Counts are ordered channel * frequencies + frequency. The plan knows how many there are; where it
// cannot be read any more, the result's lines do.
std::size_t frequencies_of(const ledger::StoredRun& run) {
    if (const auto plan = language::read_plan(run.plan_text).plan)
        return std::max<std::size_t>(1, plan->map.frequencies.size());
    int highest = 0;
    for (const auto& line : run.result.lines) highest = std::max(highest, line.frequency);
    return static_cast<std::size_t>(highest) + 1;
}

class Exporter {
  public:
    Exporter(ledger::Reader& reader, const QualityWish& wish, ExportOf what, record::Stage stage)
        : reader_(reader), wish_(wish), what_(what), stage_(stage) {}

    journal::Stored<Rows> rows_of(std::span<const ledger::RunSummary> runs) const {
        switch (what_) {
            case ExportOf::checks:
                return checks(runs);
            case ExportOf::lines:
                return lines(runs);
            case ExportOf::readings:
                return readings(runs);
            default:
                Rows rows;
                for (const auto& run : runs) rows.push_back(unit_row(run));
                return rows;
        }
    }

  private:
    journal::Stored<Rows> checks(std::span<const ledger::RunSummary> runs) const {
        std::vector<record::RunId> ids;
        for (const auto& run : runs) ids.push_back(run.run);
        std::vector<std::string> names;
        if (wish_.check) names.push_back(*wish_.check);
        const auto values = reader_.check_values(ids, names, stage_);
        if (!values) return values.error();
        Rows rows;
        std::size_t at = 0;  // values come in the runs' order
        for (const auto& value : *values) {
            while (runs[at].run != value.run) ++at;
            if (wished(value, wish_)) rows.push_back(check_row(runs[at], value, stage_));
        }
        return rows;
    }
    journal::Stored<Rows> lines(std::span<const ledger::RunSummary> runs) const {
        Rows rows;
        for (const auto& run : runs) {
            const auto result = reader_.result_of(run.run);
            if (!result) return result.error();
            if (!*result) continue;
            for (const auto& line : (*result)->lines) rows.push_back(line_row(run, line));
        }
        return rows;
    }
    journal::Stored<Rows> readings(std::span<const ledger::RunSummary> runs) const {
        Rows rows;
        for (const auto& run : runs) {
            const auto stored = reader_.stored_run(run.run);
            if (!stored) return stored.error();
            if (!*stored || !(*stored)->observations) continue;
            const std::size_t frequencies = frequencies_of(**stored);
            for (const auto& readings : (*stored)->observations->readings) {
                if (wish_.step && readings.step != *wish_.step) continue;
                for (const auto& scan : readings.scans)
                    add_scan(rows, run, readings, scan, frequencies);
            }
        }
        return rows;
    }

    ledger::Reader& reader_;
    const QualityWish& wish_;
    ExportOf what_;
    record::Stage stage_;
};

// 12 and not 1.2E1, for those who read it.
Json plain_number(double value) {
    constexpr double exact_up_to = 9007199254740992.0;  // 2^53
    const bool whole = std::floor(value) == value && std::abs(value) < exact_up_to;
    return whole ? Json(static_cast<std::int64_t>(value)) : number(value);
}

std::string json_line(const std::vector<std::string>& columns, const std::vector<TableCell>& row) {
    boost::json::object json;
    for (std::size_t i = 0; i < columns.size(); ++i)
        json[columns[i]] = row[i].value ? plain_number(*row[i].value) : text(row[i].text);
    return text_of(json) + "\n";
}

void give(const Rows& rows, const std::vector<std::string>& columns, ExportAs as,
          const TakeText& take) {
    if (as == ExportAs::json_lines) {
        for (const auto& row : rows) take(json_line(columns, row));
        return;
    }
    Table table;
    table.rows = rows;
    take(csv_rows(table));
}

}  // namespace

std::optional<ExportOf> export_of(std::string_view name) {
    if (name == "units") return ExportOf::units;
    if (name == "checks") return ExportOf::checks;
    if (name == "lines") return ExportOf::lines;
    if (name == "readings") return ExportOf::readings;
    return std::nullopt;
}

journal::Stored<void> export_rows(ledger::Reader& reader, const QualityWish& wish, ExportOf what,
                                  record::Stage stage, ExportAs as, const TakeText& take) {
    ValueWish every = values_of(wish, stage);
    every.tries = WhichTries::every;
    const auto runs = wished_runs(reader, every);
    if (!runs) return runs.error();
    const auto columns = columns_of(what);
    if (as == ExportAs::csv) take(csv_line(columns));
    const Exporter exporter(reader, wish, what, stage);
    // Raw counts of one run are tens of thousands of rows.
    const std::size_t together = what == ExportOf::readings ? 1 : runs_together;
    for (std::size_t begin = 0; begin < runs->size(); begin += together) {
        const auto some = std::span(*runs).subspan(begin, std::min(together, runs->size() - begin));
        const auto rows = exporter.rows_of(some);
        if (!rows) return rows.error();
        give(*rows, columns, as, take);
    }
    return {};
}

}  // namespace padtrim::answers
