#include "db/ledger/begun_runs.hpp"

#include "db/ledger/shift_hour_rows.hpp"
#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

RollupOrigin origin_at(Query& row) {
    return {row.integer_at(0), row.text_at(1),         row.text_at(2),        row.text_at(3),
            row.text_at(4),    row.integer_at(5) != 0, row.integer_at(6) != 0};
}

BegunRuns::BegunRuns(Database& database)
    : database_(database),
      row_(database,
           "SELECT lot.station, plan.product, plan.recipe, plan.recipe_revision, plan.fixture,"
           " lot.measure_only, coalesce(opening_permission.kind = 'draft', 0), run.lot,"
           " run.nest, run.started, run.serial, coalesce(run.first_run, run.id)"
           " FROM run JOIN lot ON lot.id = run.lot"
           " JOIN lot_opening ON lot_opening.id = run.opening"
           " JOIN plan ON plan.hash = lot_opening.plan"
           " LEFT JOIN opening_permission ON opening_permission.opening = run.opening"
           " WHERE run.id = ?") {}

BegunRun BegunRuns::of(record::RunId run) {
    BegunRun found;
    Query& row = row_.with(run);
    if (!row.next()) throw UnknownWord("run " + std::to_string(run) + " has no lot or plan");
    found.where.origin = origin_at(row);
    found.where.lot = row.integer_at(7);
    found.where.nest = row.at<std::uint16_t>(8);
    found.where.when = record::shift_at(
        rows::shift_hours(database_, found.where.origin.station, run, std::nullopt),
        row.time_at(9));
    found.serial = row.text_at(10);
    found.unit = row.integer_at(11);
    return found;
}

}  // namespace padtrim::ledger
