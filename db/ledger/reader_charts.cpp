// Frozen charts and alarms, read.
#include "db/ledger/reader.hpp"
#include "db/ledger/reader_state.hpp"
#include "db/ledger/statement.hpp"

namespace padtrim::ledger {

namespace {

constexpr std::string_view chart_columns =
    "frozen_chart.id, frozen_chart.recipe, frozen_chart.recipe_revision,"
    " frozen_chart.step, frozen_chart.name, frozen_chart.key, frozen_chart.channel,"
    " frozen_chart.frequency, frozen_chart.stage, frozen_chart.unit,"
    " frozen_chart.kind, frozen_chart.rules, frozen_chart.size, frozen_chart.lambda,"
    " frozen_chart.width, frozen_chart.slack, frozen_chart.decision,"
    " frozen_chart.centre, frozen_chart.sigma, frozen_chart.points,"
    " frozen_chart.after_run, frozen_chart.at, frozen_chart.who, frozen_chart.why";
constexpr int chart_column_count = 24;

record::FrozenChart chart_at(Query& row) {
    record::FrozenChart chart;
    chart.id = row.integer_at(0);
    chart.recipe = row.text_at(1);
    chart.recipe_revision = row.text_at(2);
    chart.step = row.text_at(3);
    chart.check = row.text_at(4);
    chart.key = row.text_at(5);
    chart.channel = row.index_at(6);
    chart.frequency = row.index_at(7);
    chart.stage = stage_of(row.text_at(8));
    chart.unit = row.text_at(9);
    chart.kind = row.text_at(10);
    chart.rules = row.text_at(11);
    chart.size = row.at<std::size_t>(12);
    chart.lambda = row.number_at(13);
    chart.width = row.number_at(14);
    chart.slack = row.number_at(15);
    chart.decision = row.number_at(16);
    chart.centre = row.number_at(17);
    chart.sigma = row.number_at(18);
    chart.points = row.at<std::size_t>(19);
    chart.after_run = row.integer_at(20);
    chart.at = row.time_at(21);
    chart.who = row.text_at(22);
    chart.why = row.text_at(23);
    return chart;
}

}  // namespace

Reader::Stored<std::vector<KeptChart>> Reader::frozen_charts() {
    return state_->ask<std::vector<KeptChart>>([](Database& database) {
        // The newest of each place; SQLite's IS treats two NULLs as alike.
        const std::string query =
            "SELECT " + std::string(chart_columns) +
            ", coalesce((SELECT max(run) FROM chart_look WHERE chart = frozen_chart.id), 0)"
            " FROM frozen_chart WHERE kind <> 'none' AND NOT EXISTS (SELECT 1 FROM frozen_chart AS"
            " newer WHERE newer.id > frozen_chart.id AND newer.recipe = frozen_chart.recipe"
            " AND newer.recipe_revision = frozen_chart.recipe_revision"
            " AND newer.step = frozen_chart.step AND newer.name = frozen_chart.name"
            " AND newer.key = frozen_chart.key AND newer.channel IS frozen_chart.channel"
            " AND newer.frequency IS frozen_chart.frequency AND newer.stage = frozen_chart.stage)"
            " ORDER BY frozen_chart.id";
        Query row(database, query);
        std::vector<KeptChart> charts;
        while (row.next()) {
            KeptChart kept{chart_at(row), row.integer_at(chart_column_count)};
            if (kept.looked_until < kept.chart.after_run) kept.looked_until = kept.chart.after_run;
            charts.push_back(std::move(kept));
        }
        return charts;
    });
}

Reader::Stored<std::vector<record::ChartAlarm>> Reader::chart_alarms(bool open_only) {
    return state_->ask<std::vector<record::ChartAlarm>>([open_only](Database& database) {
        const std::string query =
            "SELECT " + std::string(chart_columns) +
            ", chart_alarm.id, chart_alarm.run, run.serial, lot.name, run.started, line, signal,"
            " value, low, high, found, alarm_reply.at, alarm_reply.who, alarm_reply.why"
            " FROM chart_alarm JOIN frozen_chart ON frozen_chart.id = chart_alarm.chart"
            " JOIN run ON run.id = chart_alarm.run JOIN lot ON lot.id = run.lot"
            " LEFT JOIN alarm_reply ON alarm_reply.id = (SELECT max(newest.id) FROM alarm_reply AS"
            " newest WHERE newest.alarm = chart_alarm.id)"
            " WHERE ?1 = 0 OR alarm_reply.id IS NULL ORDER BY chart_alarm.id DESC";
        Query row(database, query);
        row.with(open_only);
        std::vector<record::ChartAlarm> alarms;
        while (row.next()) {
            record::ChartAlarm& alarm = alarms.emplace_back();
            alarm.chart = chart_at(row);
            int column = chart_column_count;
            alarm.id = row.integer_at(column++);
            alarm.run = row.integer_at(column++);
            alarm.serial = row.text_at(column++);
            alarm.lot = row.text_at(column++);
            alarm.at = row.time_at(column++);
            alarm.line = row.text_at(column++);
            alarm.signal = row.text_at(column++);
            alarm.value = row.number_at(column++);
            alarm.low = row.number_at(column++);
            alarm.high = row.number_at(column++);
            alarm.found = row.time_at(column++);
            if (row.null_at(column)) continue;
            alarm.reply = record::AlarmReply{row.time_at(column), row.text_at(column + 1),
                                             row.text_at(column + 2)};
        }
        return alarms;
    });
}

}  // namespace padtrim::ledger
