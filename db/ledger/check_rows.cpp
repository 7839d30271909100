#include "db/ledger/check_rows.hpp"

#include "db/ledger/stored_words.hpp"

namespace padtrim::ledger {

CheckRows::CheckRows(Database& database)
    : rows_(database,
            "SELECT step, name, key, channel, frequency, stage, value, unit,"
            " standard_uncertainty, coverage_factor, expanded_uncertainty, low, high, margin,"
            " verdict, traceability, note, degrees_of_freedom FROM check_result WHERE run = ?"
            " ORDER BY number") {}

std::vector<record::CheckResult> CheckRows::of(record::RunId run) {
    rows_.with(run);
    std::vector<record::CheckResult> checks;
    while (rows_.next()) {
        record::CheckResult& check = checks.emplace_back();
        check.step = rows_.text_at(0);
        check.check = rows_.text_at(1);
        check.key = rows_.text_at(2);
        check.channel = rows_.index_at(3);
        check.frequency = rows_.index_at(4);
        check.stage = stage_of(rows_.text_at(5));
        check.value = rows_.number_at(6);
        check.unit = rows_.text_at(7);
        check.standard_uncertainty = rows_.number_at(8);
        check.coverage_factor = rows_.number_at(9);
        check.expanded_uncertainty = rows_.number_at(10);
        check.low = rows_.optional_at(11);
        check.high = rows_.optional_at(12);
        check.margin = rows_.number_at(13);
        check.verdict = verdict_of(rows_.text_at(14));
        check.traceability = traceability_of(rows_.text_at(15));
        check.note = rows_.text_at(16);
        check.degrees_of_freedom = rows_.number_at(17);
    }
    return checks;
}

}  // namespace padtrim::ledger
