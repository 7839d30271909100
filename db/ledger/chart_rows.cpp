// Frozen charts, their alarms and the replies, as rows.
#include "db/ledger/rows.hpp"
#include "db/ledger/statement.hpp"
#include "db/ledger/store_faults.hpp"

namespace padtrim::ledger::rows {

namespace {

Stored<void> freeze_one(Database& database, const record::FrozenChart& chart) {
    if (chart.who.empty() || chart.why.empty())
        return out_of_order("who froze a chart and why must be given");
    if (!(chart.sigma > 0.0))
        return out_of_order("a chart whose values do not scatter has no limits");
    Query(database,
          "INSERT INTO frozen_chart (recipe, recipe_revision, step, name, key, channel, frequency,"
          " stage, unit, kind, rules, size, lambda, width, slack, decision, centre, sigma, points,"
          " after_run, at, who, why)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .with(chart.recipe, chart.recipe_revision, chart.step, chart.check, chart.key,
              where_it_applies(chart.channel), where_it_applies(chart.frequency),
              record::name_of(chart.stage), chart.unit, chart.kind, chart.rules, chart.size,
              chart.lambda, chart.width, chart.slack, chart.decision, chart.centre, chart.sigma,
              chart.points, chart.after_run, chart.at, chart.who, chart.why)
        .run();
    return {};
}

}  // namespace

Stored<void> freeze_charts(Database& database, const std::vector<record::FrozenChart>& charts) {
    for (const auto& chart : charts)
        if (const auto kept = freeze_one(database, chart); !kept) return kept.error();
    return {};
}

Stored<std::size_t> keep_looks(Database& database, const std::vector<record::ChartLook>& looks) {
    std::size_t kept = 0;
    Query alarm(database,
                "INSERT INTO chart_alarm (chart, run, line, signal, value, low, high, found)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING");
    Query look(database, "INSERT INTO chart_look (chart, run, at) VALUES (?, ?, ?)");
    for (const auto& each : looks) {
        for (const auto& found : each.alarms) {
            const auto before = database.getTotalChanges();
            alarm
                .with(each.chart, found.run, found.line, found.signal, found.value, found.low,
                      found.high, each.at)
                .run();
            kept += static_cast<std::size_t>(database.getTotalChanges() - before);
        }
        look.with(each.chart, each.until, each.at).run();
    }
    return kept;
}

Stored<void> reply_to_alarm(Database& database, std::int64_t alarm,
                            const record::AlarmReply& reply) {
    if (reply.who.empty() || reply.why.empty())
        return out_of_order("who replies to an alarm and why must be given");
    if (!Query(database, "SELECT 1 FROM chart_alarm WHERE id = ?").with(alarm).next())
        return out_of_order("there is no alarm " + std::to_string(alarm));
    Query(database, "INSERT INTO alarm_reply (alarm, at, who, why) VALUES (?, ?, ?, ?)")
        .with(alarm, reply.at, reply.who, reply.why)
        .run();
    return {};
}

}  // namespace padtrim::ledger::rows
