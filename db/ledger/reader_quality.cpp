// The questions that go over all units of a lot or of several.
#include <algorithm>
#include <cmath>
#include <map>

#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::ledger {

namespace {

using statistics::Moments;

struct LineMoments {
    std::string key;
    Moments gain, offset, gain_expanded, offset_expanded, gain_standard, offset_standard;
};

Spread spread_of(const Moments& values, const Moments& expanded, const Moments& standard) {
    Spread spread;
    spread.mean = values.mean().value();
    spread.low = values.lowest().value();
    spread.high = values.highest().value();
    if (values.count() > 1) spread.standard_deviation = values.standard_deviation().value();
    if (expanded.count() > 0) spread.mean_expanded = expanded.mean().value();
    if (standard.count() > 0) spread.mean_standard = standard.mean().value();
    return spread;
}

void add_finite(Moments& moments, double value) {
    if (std::isfinite(value)) moments.add(value);
}

// Each unit's newest ended run that has lines.
constexpr const char* line_query =
    "SELECT channel, frequency, key, gain, \"offset\", gain_expanded, offset_expanded,"
    " gain_standard, offset_standard FROM channel_line WHERE gain IS NOT NULL AND \"offset\" IS "
    "NOT NULL AND run IN ("
    "  SELECT max(run.id) FROM run JOIN run_end ON run_end.run = run.id"
    "  WHERE run.lot = ? AND EXISTS (SELECT 1 FROM channel_line WHERE channel_line.run = run.id)"
    "  GROUP BY coalesce(run.first_run, run.id))"
    " ORDER BY run, number";

std::vector<LineSummary> read_line_summaries(Database& database, record::LotId lot) {
    std::map<std::pair<int, int>, LineMoments> channels;
    Query row(database, line_query);
    row.with(lot);
    while (row.next()) {
        if (!std::isfinite(row.number_at(3)) || !std::isfinite(row.number_at(4))) continue;
        LineMoments& line = channels[{row.at<int>(0), row.at<int>(1)}];
        line.key = row.text_at(2);
        line.gain.add(row.number_at(3));
        line.offset.add(row.number_at(4));
        add_finite(line.gain_expanded, row.number_at(5));
        add_finite(line.offset_expanded, row.number_at(6));
        add_finite(line.gain_standard, row.number_at(7));
        add_finite(line.offset_standard, row.number_at(8));
    }
    std::vector<LineSummary> lines;
    for (const auto& [place, line] : channels)
        lines.push_back({place.first, place.second, line.key,
                         static_cast<std::uint32_t>(line.gain.count()),
                         spread_of(line.gain, line.gain_expanded, line.gain_standard),
                         spread_of(line.offset, line.offset_expanded, line.offset_standard)});
    return lines;
}

// Newest ended run of each unit. Rows of one check come worst margin first; a margin that is not a
// number (NULL) comes before any.
constexpr const char* failure_query =
    "SELECT check_result.step, check_result.name, check_result.key, check_result.stage,"
    " check_result.verdict, check_result.margin, run.id, run.serial, check_result.note"
    " FROM check_result JOIN run ON run.id = check_result.run"
    " WHERE check_result.verdict IN ('fail', 'inconclusive') AND run.id IN ("
    "  SELECT max(run.id) FROM run JOIN run_end ON run_end.run = run.id"
    "  WHERE run.lot = ? GROUP BY coalesce(run.first_run, run.id))"
    " ORDER BY check_result.step, check_result.name, check_result.key, check_result.stage,"
    " check_result.margin, run.id";

bool same_check(const FailureSummary& a, const FailureSummary& b) {
    return a.step == b.step && a.check == b.check && a.key == b.key && a.stage == b.stage;
}

FailureSummary read_failure(Query& row) {
    FailureSummary failure;
    failure.step = row.text_at(0);
    failure.check = row.text_at(1);
    failure.key = row.text_at(2);
    failure.stage = stage_of(row.text_at(3));
    failure.worst_margin = row.number_at(5);
    failure.example_run = row.integer_at(6);
    failure.example_serial = row.text_at(7);
    failure.note = row.text_at(8);
    return failure;
}

// A unit counts once a check, as failed when any channel or frequency of it failed.
void count_units(FailureSummary& failure, const std::map<record::RunId, bool>& units) {
    for (const auto& [run, failed] : units) ++(failed ? failure.failed : failure.inconclusive);
}

std::vector<FailureSummary> read_failures(Database& database, record::LotId lot) {
    std::vector<FailureSummary> failures;
    std::map<record::RunId, bool> units;
    Query row(database, failure_query);
    row.with(lot);
    while (row.next()) {
        FailureSummary failure = read_failure(row);
        if (failures.empty() || !same_check(failures.back(), failure)) {
            if (!failures.empty()) count_units(failures.back(), units);
            units.clear();
            failures.push_back(std::move(failure));
        }
        bool& failed = units[row.integer_at(6)];
        failed = failed || verdict_of(row.text_at(4)) == record::Verdict::fail;
    }
    if (!failures.empty()) count_units(failures.back(), units);
    std::stable_sort(failures.begin(), failures.end(), [](const auto& a, const auto& b) {
        return a.failed + a.inconclusive > b.failed + b.inconclusive;
    });
    return failures;
}

// A unit belongs to the plan of its first run, so that a recipe changed in the middle of a lot
// splits the lot's units but no unit.
constexpr const char* yield_query =
    "SELECT lot.name, station.name, plan.recipe, plan.recipe_revision,"
    " count(first.run),"
    " count(*) FILTER (WHERE first.verdict = 'pass'),"
    " count(*) FILTER (WHERE last.verdict = 'pass'),"
    " count(*) FILTER (WHERE unit_tries.tries > 1),"
    " count(*) FILTER (WHERE first.verdict = 'fail'),"
    " count(*) FILTER (WHERE first.verdict = 'fail' AND last.verdict = 'pass'),"
    " count(*) FILTER (WHERE first.run IS NULL),"
    " count(*) FILTER (WHERE first.verdict = 'fail' AND unit_tries.tries > 1)"
    " FROM unit_tries"
    " JOIN run ON run.id = unit_tries.unit"
    " JOIN lot_opening ON lot_opening.id = run.opening"
    " JOIN plan ON plan.hash = lot_opening.plan"
    " JOIN lot ON lot.id = run.lot"
    " JOIN station ON station.id = lot.station"
    " LEFT JOIN run_end AS first ON first.run = unit_tries.first_try"
    " LEFT JOIN run_end AS last ON last.run = unit_tries.last_try"
    " WHERE lot.measure_only = ?1 AND (?2 IS NULL OR lot.name = ?2)"
    " AND (?3 IS NULL OR plan.recipe = ?3) AND (?4 IS NULL OR plan.recipe_revision = ?4)"
    " AND (?5 IS NULL OR station.name = ?5)"
    " AND (?6 OR NOT EXISTS (SELECT 1 FROM opening_permission"
    "      WHERE opening_permission.opening = run.opening AND kind = 'draft'))";

constexpr const char* grouping(YieldBy by) {
    switch (by) {
        case YieldBy::lot:
            return " GROUP BY lot.id, plan.recipe, plan.recipe_revision ORDER BY lot.id";
        case YieldBy::recipe_revision:
            return " GROUP BY plan.recipe, plan.recipe_revision"
                   " ORDER BY plan.recipe, plan.recipe_revision";
        case YieldBy::station:
            return " GROUP BY station.id ORDER BY station.name";
        case YieldBy::everything:
            return " GROUP BY NULL";
    }
    return "";
}

YieldRow read_yield(Query& row, YieldBy by) {
    YieldRow found;
    const bool lot = by == YieldBy::lot;
    if (lot) found.lot = row.text_at(0);
    if (lot || by == YieldBy::station) found.station = row.text_at(1);
    if (lot || by == YieldBy::recipe_revision) found.recipe = row.text_at(2);
    if (lot || by == YieldBy::recipe_revision) found.recipe_revision = row.text_at(3);
    found.count = {row.at<std::uint32_t>(4),  row.at<std::uint32_t>(5), row.at<std::uint32_t>(6),
                   row.at<std::uint32_t>(7),  row.at<std::uint32_t>(8), row.at<std::uint32_t>(9),
                   row.at<std::uint32_t>(10), row.at<std::uint32_t>(11)};
    return found;
}

int index_of(Query& row, int column) {
    return row.null_at(column) ? -1 : row.at<int>(column);
}

CheckValue read_value(Query& row, const std::string& name) {
    CheckValue value;
    value.run = row.integer_at(0);
    value.unit = row.integer_at(1);
    value.step = row.text_at(2);
    value.check = name;
    value.key = row.text_at(4);
    value.measure = row.text_at(5);
    value.channel = index_of(row, 6);
    value.frequency = index_of(row, 7);
    value.value = row.number_at(8);
    value.standard_uncertainty = row.number_at(9);
    value.coverage_factor = row.number_at(10);
    value.low = row.optional_at(11);
    value.high = row.optional_at(12);
    value.verdict = verdict_of(row.text_at(13));
    value.degrees_of_freedom = row.number_at(14);
    return value;
}

}  // namespace

Reader::Stored<std::vector<LineSummary>> Reader::lines_of(record::LotId lot) {
    return state_->ask<std::vector<LineSummary>>(
        [lot](Database& database) { return read_line_summaries(database, lot); });
}

Reader::Stored<std::vector<FailureSummary>> Reader::failures(record::LotId lot) {
    return state_->ask<std::vector<FailureSummary>>(
        [lot](Database& database) { return read_failures(database, lot); });
}

Reader::Stored<std::vector<YieldRow>> Reader::yield(const YieldFilter& filter, YieldBy by) {
    return state_->ask<std::vector<YieldRow>>([&](Database& database) {
        Query row(database, std::string(yield_query) + grouping(by));
        row.with(filter.measure_only, filter.lot, filter.recipe, filter.recipe_revision,
                 filter.station, filter.drafts);
        std::vector<YieldRow> yields;
        while (row.next()) yields.push_back(read_yield(row, by));
        return yields;
    });
}

Reader::Stored<std::vector<CheckValue>> Reader::check_values(const std::vector<record::RunId>& runs,
                                                             const std::vector<std::string>& checks,
                                                             record::Stage stage) {
    return state_->ask<std::vector<CheckValue>>([&](Database& database) {
        Query row(
            database,
            "SELECT check_result.run, coalesce(run.first_run, run.id), step, name, key, unit,"
            " channel, frequency, value, standard_uncertainty, coverage_factor, low, high,"
            " verdict, degrees_of_freedom FROM check_result JOIN run ON run.id = check_result.run"
            " WHERE check_result.run = ?1 AND check_result.stage = ?2"
            " AND (?3 IS NULL OR name = ?3) AND value IS NOT NULL ORDER BY number");
        // SQLite leaves other rows where they are; of several names it must give all.
        const std::optional<std::string> only =
            checks.size() == 1 ? std::optional(checks.front()) : std::nullopt;
        std::vector<CheckValue> values;
        for (const record::RunId run : runs) {
            row.with(run, record::name_of(stage), only);
            while (row.next()) {
                const std::string name = row.text_at(3);
                const bool wanted =
                    checks.empty() || std::find(checks.begin(), checks.end(), name) != checks.end();
                if (wanted) values.push_back(read_value(row, name));
            }
        }
        return values;
    });
}

}  // namespace padtrim::ledger
