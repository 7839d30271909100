#include "station/answers/frozen_charts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/control_points.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using record::ChartAlarm;
using record::ChartLook;
using record::FrozenChart;

std::string typed_rules(const quality::RuleSet& rules) {
    std::string typed;
    for (std::size_t i = 0; i < quality::run_rule_count; ++i) {
        const auto rule = static_cast<quality::RunRule>(i);
        if (rules.has(rule)) typed += (typed.empty() ? "" : ",") + std::string(typed_name_of(rule));
    }
    return typed;
}

quality::RuleSet rules_of_typed(const std::string& typed) {
    quality::RuleSet rules;
    for (std::size_t begin = 0; begin < typed.size();) {
        const std::size_t end = std::min(typed.find(',', begin), typed.size());
        if (const auto rule = run_rule_of(typed.substr(begin, end - begin))) rules.insert(*rule);
        begin = end + 1;
    }
    return rules;
}

bool at_place(const FrozenChart& chart, const ledger::CheckPlace& place) {
    return chart.step == place.step && chart.check == place.check && chart.key == place.key &&
           chart.channel == place.channel && chart.frequency == place.frequency &&
           chart.stage == place.stage;
}

std::string place_words(const FrozenChart& chart) {
    std::string words = printable(chart.check, 40);
    if (!chart.key.empty()) words += ", key " + printable(chart.key, 40);
    if (chart.channel >= 0) words += ", channel " + std::to_string(chart.channel);
    if (chart.frequency >= 0) words += ", frequency " + std::to_string(chart.frequency);
    return words + ", " + std::string(record::name_of(chart.stage));
}

// Values that came after the chart was frozen.
std::vector<Labelled> later_values(const PlaceSeries& place, const ValueSeries& series,
                                   const FrozenChart& chart) {
    std::vector<Labelled> values;
    for (const auto& value : place.values) {
        const auto& run = series.runs[value.run];
        if (run.run > chart.after_run)
            values.push_back({printable(run.serial, 40), run.started, value.value, run.run});
    }
    return values;
}

// Charts of one check share the reading of its values.
using Group = std::tuple<std::string, std::string, std::string, record::Stage>;
Group group_of(const FrozenChart& chart) {
    return {chart.recipe, chart.recipe_revision, chart.check, chart.stage};
}

bool of_subgroups(const FrozenChart& chart) {
    const auto kind = control_kind_of(chart.kind);
    return kind == ControlKind::means_and_ranges || kind == ControlKind::means_and_deviations;
}

// Values before the last look that a look begins with. Run rules look back on fifteen points at
// most; a weighted mean has forgotten all but e^-20 of what came before; a sum of a process in
// control is back at nothing within some hundred. So a look does not grow with the record.
std::size_t run_in_of(const FrozenChart& chart) {
    constexpr double least = 400.0;
    const double forgotten = chart.lambda > 0.0 ? 20.0 / chart.lambda : least;
    return static_cast<std::size_t>(std::max(least, std::ceil(forgotten)));
}

// The run after which a look at these charts of one group has to read. Values in a row make
// subgroups from the chart's first one on, so these are read from there.
journal::Stored<record::RunId> read_after(ledger::Reader& reader, const ledger::RunFilter& runs,
                                          const std::vector<const ledger::KeptChart*>& group) {
    record::RunId first = std::numeric_limits<record::RunId>::max(), last = first;
    std::size_t run_in = 0;
    for (const auto* kept : group) {
        first = std::min(first, kept->chart.after_run);
        last =
            std::min(last, of_subgroups(kept->chart) ? kept->chart.after_run : kept->looked_until);
        run_in = std::max(run_in, run_in_of(kept->chart));
    }
    const auto before = reader.run_before(runs, last, run_in);
    if (!before) return before.error();
    return std::max(first, before->value_or(0));
}

journal::Stored<ValueSeries> values_to_look_at(
    ledger::Reader& reader, const std::vector<const ledger::KeptChart*>& group,
    const std::optional<record::WallTime>& until = std::nullopt) {
    const auto& chart = group.front()->chart;
    ValueWish wish;
    wish.runs.until = until;
    wish.runs.recipe = chart.recipe;
    wish.runs.recipe_revision = chart.recipe_revision;
    wish.check = chart.check;
    wish.stage = chart.stage;
    const auto after = read_after(reader, wish.runs, group);
    if (!after) return after.error();
    wish.runs.after = *after;
    return value_series(reader, wish);
}

// Points of these runs alone.
void keep_shown(PlaceControl& chart, const std::set<record::RunId>& runs) {
    for (auto& line : chart.lines)
        std::erase_if(line.points,
                      [&](const ControlPoint& point) { return !runs.contains(point.run); });
}

void append(PlaceControl& chart, PlaceControl later) {
    if (chart.lines.empty()) {
        chart = std::move(later);
        return;
    }
    for (std::size_t i = 0; i < std::min(chart.lines.size(), later.lines.size()); ++i)
        chart.lines[i].points.insert(chart.lines[i].points.end(), later.lines[i].points.begin(),
                                     later.lines[i].points.end());
}

journal::Stored<PlaceControl> judged_later(ledger::Reader& reader, const FrozenChart& chart,
                                           const ledger::CheckPlace& at,
                                           const std::vector<Labelled>& shown) {
    const ledger::KeptChart kept{chart, shown.front().run - 1};
    const auto series =
        values_to_look_at(reader, {&kept}, shown.back().at + record::WallTime::duration(1));
    if (!series) return series.error();
    std::set<record::RunId> runs;
    for (const auto& value : shown) runs.insert(value.run);
    for (const auto& place : series->places) {
        if (!(place.place == at)) continue;
        auto later = chart_of(later_values(place, *series, chart), wish_of(chart, {}));
        keep_shown(later, runs);
        return later;
    }
    return PlaceControl();
}

// Struck points that follow one another are one alarm, at the first of them: its cause lasts.
void take_alarms(const ControlLine& line, record::RunId looked_until, ChartLook& look) {
    bool struck = false;
    for (const auto& point : line.points) {
        const bool goes_on = std::exchange(struck, !point.signal.empty());
        if (point.signal.empty() || goes_on || point.run <= looked_until) continue;
        ChartAlarm alarm;
        alarm.run = point.run;
        alarm.line = line.title;
        alarm.signal = point.signal;
        alarm.value = point.value;
        alarm.low = point.low;
        alarm.high = point.high;
        look.alarms.push_back(std::move(alarm));
    }
}

// Values that make no chart are looked at again with the next ones.
ChartLook look_of(const ledger::KeptChart& kept, const ValueSeries& series,
                  const PlaceSeries& place, record::WallTime now) {
    ChartLook look{kept.chart.id, kept.looked_until, now, {}};
    const auto values = later_values(place, series, kept.chart);
    if (values.empty()) return look;
    const auto chart = chart_of(values, wish_of(kept.chart, {}));
    if (chart.flaw) return look;
    look.until = std::max(look.until, values.back().run);
    for (const auto& line : chart.lines) take_alarms(line, kept.looked_until, look);
    return look;
}

Json chart_json(const FrozenChart& chart) {
    return boost::json::object{{"chart", chart.id},
                               {"recipe", text(chart.recipe)},
                               {"recipe_revision", text(chart.recipe_revision)},
                               {"step", text(chart.step)},
                               {"check", text(chart.check)},
                               {"key", text(chart.key)},
                               {"channel", chart.channel},
                               {"frequency", chart.frequency},
                               {"stage", record::name_of(chart.stage)},
                               {"unit", text(chart.unit)},
                               {"kind", text(chart.kind)},
                               {"rules", text(chart.rules)},
                               {"centre", number(chart.centre)},
                               {"sigma", number(chart.sigma)},
                               {"points", chart.points},
                               {"at", iso_8601(chart.at)},
                               {"who", text(chart.who)},
                               {"why", text(chart.why)}};
}

Json alarm_json(const ChartAlarm& alarm) {
    return boost::json::object{{"alarm", alarm.id},
                               {"chart", chart_json(alarm.chart)},
                               {"run", alarm.run},
                               {"serial", text(alarm.serial)},
                               {"lot", text(alarm.lot)},
                               {"at", iso_8601(alarm.at)},
                               {"line", text(alarm.line)},
                               {"signal", text(alarm.signal)},
                               {"value", number(alarm.value)},
                               {"low", number(alarm.low)},
                               {"high", number(alarm.high)},
                               {"found", iso_8601(alarm.found)},
                               {"reply", reply_json(alarm.reply)}};
}

}  // namespace

journal::Stored<PlaceControl> chart_of_frozen(ledger::Reader& reader, const FrozenChart& chart,
                                              const ledger::CheckPlace& place,
                                              const std::vector<Labelled>& shown) {
    const auto first_later = std::find_if(shown.begin(), shown.end(), [&](const Labelled& value) {
        return value.run > chart.after_run;
    });
    PlaceControl whole;
    if (first_later != shown.begin())
        whole = chart_of({shown.begin(), first_later}, wish_of(chart, {}));
    if (first_later == shown.end()) return whole;
    auto later = judged_later(reader, chart, place, {first_later, shown.end()});
    if (!later) return later.error();
    if (whole.flaw) whole = PlaceControl();
    append(whole, std::move(*later));
    return whole;
}

std::vector<FrozenChart> charts_to_freeze(const ControlAnswer& answer, const ControlWish& wish,
                                          const std::string& who, const std::string& why,
                                          record::WallTime at) {
    std::vector<FrozenChart> charts;
    if (answer.by_day) return charts;  // their scatter is not that of single values
    for (const auto& place : answer.places) {
        if (place.flaw || !place.process || place.frozen || place.lines.empty()) continue;
        const auto& points = place.lines.front().points;
        const std::size_t last = std::min(place.process_points, points.size());
        if (last == 0) continue;
        FrozenChart chart;
        chart.recipe = answer.recipe;
        chart.recipe_revision = answer.recipe_revision;
        chart.step = place.place.step;
        chart.check = place.place.check;
        chart.key = place.place.key;
        chart.channel = place.place.channel;
        chart.frequency = place.place.frequency;
        chart.stage = place.place.stage;
        chart.unit = place.place.measure;
        chart.kind = name_of(wish.kind);
        chart.rules = typed_rules(wish.rules);
        chart.size = wish.size;
        chart.lambda = wish.weighted.lambda;
        chart.width = wish.weighted.width;
        chart.slack = wish.sums.k;
        chart.decision = wish.sums.h;
        chart.centre = place.process->centre;
        chart.sigma = place.process->sigma;
        chart.points = place.process_points;
        chart.after_run = points[last - 1].run;
        chart.at = at;
        chart.who = who;
        chart.why = why;
        charts.push_back(std::move(chart));
    }
    return charts;
}

const FrozenChart* frozen_for(const std::vector<ledger::KeptChart>& charts,
                              const std::string& recipe, const std::string& revision,
                              const ledger::CheckPlace& place) {
    for (const auto& kept : charts)
        if (kept.chart.recipe == recipe && kept.chart.recipe_revision == revision &&
            at_place(kept.chart, place))
            return &kept.chart;
    return nullptr;
}

ControlWish wish_of(const FrozenChart& chart, ControlWish wish) {
    wish.kind = control_kind_of(chart.kind).value_or(wish.kind);
    wish.rules = rules_of_typed(chart.rules);
    wish.size = chart.size;
    wish.baseline = 0;
    wish.weighted.lambda = chart.lambda;
    wish.weighted.width = chart.width;
    wish.sums.k = chart.slack;
    wish.sums.h = chart.decision;
    wish.process = quality::InControl{chart.centre, chart.sigma};
    return wish;
}

journal::Stored<std::vector<ChartLook>> look_at_charts(ledger::Reader& reader,
                                                       record::WallTime now) {
    const auto charts = reader.frozen_charts();
    if (!charts) return charts.error();
    std::map<Group, std::vector<const ledger::KeptChart*>> groups;
    for (const auto& kept : *charts) groups[group_of(kept.chart)].push_back(&kept);
    std::vector<ChartLook> looks;
    for (const auto& [group, members] : groups) {
        const auto series = values_to_look_at(reader, members);
        if (!series) return series.error();
        for (const auto* kept : members)
            for (const auto& place : series->places) {
                if (!at_place(kept->chart, place.place)) continue;
                auto look = look_of(*kept, *series, place, now);
                if (look.until > kept->looked_until) looks.push_back(std::move(look));
            }
    }
    return looks;
}

journal::Task<journal::Stored<std::size_t>> look_and_keep(ledger::Ledger& ledger,
                                                          ledger::Reader& reader,
                                                          record::WallTime now) {
    auto looks = look_at_charts(reader, now);
    if (!looks) co_return looks.error();
    if (looks->empty()) co_return std::size_t{0};
    co_return co_await ledger.keep_looks(std::move(*looks));
}

journal::Stored<AlarmsAnswer> alarms_answer(ledger::Reader& reader, bool open_only) {
    AlarmsAnswer answer;
    answer.open_only = open_only;
    auto charts = reader.frozen_charts();
    if (!charts) return charts.error();
    answer.charts = std::move(*charts);
    auto alarms = reader.chart_alarms(open_only);
    if (!alarms) return alarms.error();
    answer.alarms = std::move(*alarms);
    return answer;
}

Json reply_json(const std::optional<record::AlarmReply>& reply) {
    if (!reply) return nullptr;
    return boost::json::object{
        {"at", iso_8601(reply->at)}, {"who", text(reply->who)}, {"why", text(reply->why)}};
}

Json to_json(const AlarmsAnswer& answer) {
    boost::json::array alarms, charts;
    for (const auto& alarm : answer.alarms) alarms.push_back(alarm_json(alarm));
    for (const auto& kept : answer.charts) charts.push_back(chart_json(kept.chart));
    return boost::json::object{{"open_only", answer.open_only},
                               {"alarms", std::move(alarms)},
                               {"charts", std::move(charts)}};
}

Sheet sheet_of(const AlarmsAnswer& answer) {
    Sheet sheet;
    sheet.title = "Alarms of frozen charts";
    sheet.sentences.push_back(answer.charts.empty()
                                  ? "No chart is frozen: F4 on the sheet Control charts keeps one "
                                    "with its recipe, or padtrim chart --freeze."
                                  : counted(answer.charts.size(), "chart") + " frozen; " +
                                        counted(answer.alarms.size(), "alarm") +
                                        (answer.open_only ? " without a reply." : ", all told."));
    Table table{"",
                {{"alarm", "", true},
                 {"unit begun", "", false},
                 {"serial", "", false},
                 {"lot", "", false},
                 {"chart", "", false},
                 {"line", "", false},
                 {"value", "", true},
                 {"low", "", true},
                 {"high", "", true},
                 {"signal", "", false},
                 {"reply", "", false}},
                {}};
    for (const auto& alarm : answer.alarms)
        table.rows.push_back({count_cell(static_cast<std::uint64_t>(alarm.id)), iso_8601(alarm.at),
                              printable(alarm.serial, 40), printable(alarm.lot, 40),
                              place_words(alarm.chart), alarm.line, number_cell(alarm.value),
                              number_cell(alarm.low), number_cell(alarm.high), alarm.signal,
                              alarm.reply
                                  ? printable(alarm.reply->who + ": " + alarm.reply->why, 80)
                                  : std::string()});
    sheet.tables.push_back(std::move(table));
    return sheet;
}

}  // namespace padtrim::answers
