#include "station/answers/control_answer.hpp"

#include <algorithm>
#include <array>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/quality/names.hpp"
#include "station/answers/control_points.hpp"
#include "station/answers/control_words.hpp"
#include "station/answers/day_means.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/frozen_charts.hpp"
#include "station/answers/lone_value.hpp"
#include "station/answers/occurrence_points.hpp"
#include "station/answers/panel_figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using ControlObject = boost::json::object;
using quality::RunRule;

constexpr std::array<std::string_view, 7> kind_names = {
    "individuals", "means-and-ranges", "means-and-deviations", "weighted", "sums",
    "share",       "occurrences"};
constexpr std::array<std::string_view, quality::run_rule_count> rule_names = {
    "beyond-limits", "eight-on-one-side", "nine-on-one-side", "six-steady",  "fourteen-alternating",
    "two-of-three",  "four-of-five",      "fifteen-within",   "eight-beyond"};

template <std::size_t n>
std::vector<std::string> list_of(const std::array<std::string_view, n>& names) {
    return {names.begin(), names.end()};
}

bool by_run_rules(ControlKind kind) {
    return kind == ControlKind::individuals || kind == ControlKind::means_and_ranges ||
           kind == ControlKind::means_and_deviations;
}

std::vector<Labelled> labelled(const PlaceSeries& place, const ValueSeries& series) {
    std::vector<Labelled> values;
    for (const auto& value : place.values) {
        const auto& run = series.runs[value.run];
        values.push_back({printable(run.serial, 40), run.started, value.value, run.run});
    }
    return values;
}

// Lots in the order they began.
std::vector<LabelledShare> lots_of(const std::vector<ledger::RunSummary>& runs) {
    std::vector<record::LotId> order;
    std::vector<LabelledShare> lots;
    for (const auto& run : runs) {
        const auto at = std::find(order.begin(), order.end(), run.lot);
        const auto place = static_cast<std::size_t>(at - order.begin());
        if (at == order.end()) {
            order.push_back(run.lot);
            lots.push_back({printable(run.lot_name, 40), run.started, {}});
        }
        ++lots[place].rejected.whole;
        if (run.verdict == record::Verdict::fail) ++lots[place].rejected.part;
    }
    return lots;
}

journal::Stored<std::vector<LabelledShare>> samples_by_lot(ledger::Reader& reader,
                                                           const ValueWish& wish) {
    const auto runs = wished_runs(reader, wish);
    if (!runs) return runs.error();
    return lots_of(*runs);
}

journal::Stored<std::vector<LabelledShare>> samples_by_day(ledger::Reader& reader,
                                                           const ValueWish& wish) {
    const auto days =
        ledger::RollupReader(reader).units(rollups_of(wish).value(), ledger::RollupBy::day);
    if (!days) return days.error();
    std::vector<LabelledShare> samples;
    for (const auto& day : *days) {
        const auto& yield = day.counts.yield;
        if (yield.units == 0) continue;
        samples.push_back(
            {day_words(day.group.day), *day.group.day, {yield.rejected_first, yield.units}});
    }
    return samples;
}

journal::Stored<void> fill_shares(ledger::Reader& reader, const ControlWish& wish,
                                  ControlAnswer& answer) {
    const auto samples =
        answer.by_day ? samples_by_day(reader, wish.values) : samples_by_lot(reader, wish.values);
    if (!samples) return samples.error();
    if (samples->empty()) return {};
    auto place = chart_of_shares(*samples);
    place.words = std::string("units rejected at their first try, a ") +
                  (answer.by_day ? "day" : "lot") + " a point";
    answer.places.push_back(std::move(place));
    return {};
}

journal::Stored<void> fill_occurrences(ledger::Reader& reader, const ControlWish& wish,
                                       ControlAnswer& answer) {
    const auto samples = occurrences_of(reader, wish.values, answer.by_day);
    if (!samples) return samples.error();
    if (samples->empty()) return {};
    auto place = chart_of_occurrences(*samples);
    place.words = std::string("failed checks a unit at first tries, ") +
                  std::string(record::name_of(wish.values.stage)) + ", a " +
                  (answer.by_day ? "day" : "lot") + " a point";
    answer.places.push_back(std::move(place));
    return {};
}

bool of_counts(ControlKind kind) {
    return kind == ControlKind::share || kind == ControlKind::occurrences;
}

void add_chart(ControlAnswer& answer, const ledger::CheckPlace& where, PlaceControl place,
               const std::optional<double>& run_length) {
    if (!place.lines.empty()) place.run_length = run_length;
    place.place = where;
    place.words = words_of(where, answer.plan) + ", " + (answer.by_day ? "means of days, " : "") +
                  std::string(record::name_of(where.stage));
    if (place.measure.empty()) place.measure = where.measure == "1" ? "" : where.measure;
    answer.places.push_back(std::move(place));
}

journal::Stored<void> fill_values(ledger::Reader& reader, const ControlWish& wish,
                                  ControlAnswer& answer) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    answer.plan = series->plan;
    std::vector<ledger::KeptChart> kept;
    if (!series->runs.empty()) {
        answer.recipe = series->runs.back().recipe;
        answer.recipe_revision = series->runs.back().recipe_revision;
        answer.several_revisions = std::any_of(
            series->runs.begin(), series->runs.end(), [&](const ledger::RunSummary& run) {
                return run.recipe != answer.recipe || run.recipe_revision != answer.recipe_revision;
            });
        if (wish.use_frozen) {
            auto charts = reader.frozen_charts();
            if (!charts) return charts.error();
            answer.frozen_not_drawn = answer.several_revisions && !charts->empty();
            if (!answer.several_revisions) kept = std::move(*charts);
        }
    }
    const auto run_length = run_length_of(wish);
    for (const auto& one : series->places) {
        const auto* frozen = frozen_for(kept, answer.recipe, answer.recipe_revision, one.place);
        const auto values = labelled(one, *series);
        if (frozen == nullptr) {
            add_chart(answer, one.place, chart_of(values, wish), run_length);
            continue;
        }
        auto chart = chart_of_frozen(reader, *frozen, one.place, values);
        if (!chart) return chart.error();
        add_chart(answer, one.place, std::move(*chart), run_length_of(wish_of(*frozen, wish)));
        answer.places.back().frozen = *frozen;
    }
    return {};
}

// The mean of a day as one value: limits from what scatters within days would be too narrow for
// days, which differ by more than chance.
journal::Stored<void> fill_days(ledger::Reader& reader, const ControlWish& wish,
                                ControlAnswer& answer) {
    const auto series = day_series(reader, wish.values);
    if (!series) return series.error();
    answer.plan = series->plan;
    if (wish.use_frozen) {
        const auto charts = reader.frozen_charts();
        if (!charts) return charts.error();
        answer.frozen_not_drawn = !charts->empty();
    }
    const auto run_length = run_length_of(wish);
    for (const auto& one : series->places) {
        std::vector<Labelled> values;
        for (const auto& day : one.days)
            values.push_back({day_words(day.day), day.day, day.moments.mean().value()});
        add_chart(answer, one.place, chart_of(values, wish), run_length);
    }
    return {};
}

bool same_point(const ControlPoint& a, const ControlPoint& b) {
    return a.run == b.run && a.at == b.at && a.label == b.label;
}

Table points_table(const PlaceControl& place) {
    Table table;
    table.title = place.words;
    table.columns = {{"unit or lot", "", false}, {"at", "", false}};
    for (const auto& line : place.lines) {
        table.columns.push_back({line.title, place.measure, true});
        table.columns.push_back({"low", place.measure, true});
        table.columns.push_back({"high", place.measure, true});
    }
    table.columns.push_back({"signal", "", false});
    // Moving ranges begin one value later than values, anew where a chart was frozen.
    std::vector<std::size_t> next(place.lines.size(), 0);
    for (const auto& point : place.lines.front().points) {
        std::vector<TableCell> row = {point.label, iso_8601(point.at)};
        std::string signal;
        for (std::size_t i = 0; i < place.lines.size(); ++i) {
            const auto& line = place.lines[i];
            if (next[i] == line.points.size() || !same_point(line.points[next[i]], point)) {
                row.insert(row.end(), 3, TableCell("-"));
                continue;
            }
            const auto& of_line = line.points[next[i]++];
            row.push_back(number_cell(of_line.value));
            row.push_back(number_cell(of_line.low));
            row.push_back(number_cell(of_line.high));
            if (!of_line.signal.empty())
                signal += (signal.empty() ? "" : "; ") + line.title + ": " + of_line.signal;
        }
        row.emplace_back(signal);
        table.rows.push_back(std::move(row));
    }
    return table;
}

bool constant_limits(const ControlLine& line) {
    return std::all_of(line.points.begin(), line.points.end(), [&](const ControlPoint& point) {
        return point.low == line.points.front().low && point.high == line.points.front().high;
    });
}

// Where each of some points stands among all, in the same order; moving ranges lack the first
// value, and the first after a freezing.
std::vector<double> places_among(const std::vector<ControlPoint>& all,
                                 const std::vector<ControlPoint>& some) {
    std::vector<double> places;
    for (std::size_t i = 0; i < all.size() && places.size() < some.size(); ++i)
        if (same_point(all[i], some[places.size()])) places.push_back(static_cast<double>(i));
    places.resize(some.size(), static_cast<double>(all.size()));
    return places;
}

// `at`: the places of its points.
void add_limits(Chart& chart, const ControlLine& line, const std::vector<double>& at) {
    chart.limits.push_back({"mean", line.centre, LimitKind::centre});
    if (constant_limits(line)) {
        chart.limits.push_back({"low", line.points.front().low, LimitKind::control});
        chart.limits.push_back({"high", line.points.front().high, LimitKind::control});
        return;
    }
    Series low{"lower limit", Shape::steps, Stroke::dashed},
        high{"upper limit", Shape::steps, Stroke::dashed};
    for (std::size_t i = 0; i < line.points.size(); ++i) {
        low.dots.push_back({at[i], line.points[i].low});
        high.dots.push_back({at[i], line.points[i].high});
    }
    chart.series.push_back(std::move(low));
    chart.series.push_back(std::move(high));
}

std::string run_length_words(const PlaceControl& place) {
    if (!place.run_length) return "How often these rules call a false alarm is not known.";
    return fmt::format("One false alarm in {:.0f} points, in the mean.", *place.run_length);
}

// The chart of values, and under it that of what they scatter.
std::vector<Chart> charts_of(const PlaceControl& place) {
    std::vector<Chart> charts;
    for (const auto& line : place.lines) {
        if (line.points.empty()) continue;
        Chart chart;
        chart.id = id_of(line.title + " " + place.words);
        chart.title = line.title + " of " + place.words;
        chart.below = !charts.empty();
        // One place a value in both, though some have no range.
        const auto& values_line = place.lines.front().points;
        const auto at = places_among(values_line, line.points);
        chart.x = {chart.below ? "" : "in the order they came", "", Scale::order, {}};
        for (const auto& point : values_line) chart.x.names.push_back(point.label);
        chart.y = {line.title, place.measure};
        chart.y.share = place.share;
        Series values{line.title, Shape::line};
        for (std::size_t i = 0; i < line.points.size(); ++i) {
            const auto& point = line.points[i];
            Dot dot{at[i], point.value};
            if (!point.signal.empty()) dot.remark = point.label + ": " + point.signal;
            values.dots.push_back(std::move(dot));
        }
        const auto struck = static_cast<std::size_t>(
            std::count_if(values.dots.begin(), values.dots.end(),
                          [](const Dot& dot) { return !dot.remark.empty(); }));
        chart.sentence = counted(line.points.size(), "point") + ", " + counted(struck, "signal") +
                         ". " + (&line == &place.lines.front() ? run_length_words(place) : "");
        chart.series.push_back(std::move(values));
        add_limits(chart, line, at);
        chart.table = points_table(place);
        charts.push_back(std::move(chart));
    }
    return charts;
}

// Checks on keys, those with most signals first.
std::vector<std::string> charted_checks(const ControlAnswer& answer) {
    std::vector<std::string> checks;
    for (const auto& place : answer.places)
        if (!place.place.key.empty() && !place.lines.empty() &&
            std::find(checks.begin(), checks.end(), place.place.check) == checks.end())
            checks.push_back(place.place.check);
    return checks;
}

// Small multiples: of each key the channel and frequency with most signals.
PanelFigure panel_of_charts(const ControlAnswer& answer, const std::string& check) {
    auto figure = panel_of(answer.plan, id_of("charts of " + check),
                           "Charts of " + check + ", each at its key");
    figure.sentence =
        "Of each key the channel and frequency with most signals. Broken frame: a rule signals. "
        "Dotted: no chart.";
    figure.table = {
        check,
        {{"key", "", false}, {"what", "", false}, {"points", "", true}, {"signals", "", true}},
        {}};
    for (auto& place : figure.places) place.outline = Stroke::dotted;
    for (const auto& each : answer.places) {
        if (each.place.check != check || each.lines.empty()) continue;
        PanelPlace* place = place_of(figure, each.place.key);
        if (place == nullptr || place->chart) continue;  // the most striking comes first
        auto charts = charts_of(each);
        if (charts.empty()) continue;
        charts.front().table = {};  // the large charts have theirs
        place->chart = figure.charts.size();
        place->outline = each.signals() > 0 ? Stroke::dashed : Stroke::continuous;
        place->value = each.signals() > 0 ? "\u2573 " + std::to_string(each.signals()) : "steady";
        place->detail = each.words;
        figure.charts.push_back(std::move(charts.front()));
        figure.table.rows.push_back({place->key, each.words,
                                     count_cell(each.lines.front().points.size()),
                                     count_cell(each.signals())});
    }
    return figure;
}

Json frozen_json(const PlaceControl& place) {
    if (!place.frozen) return nullptr;
    return ControlObject{{"chart", place.frozen->id},
                         {"kind", text(place.frozen->kind)},
                         {"centre", number(place.frozen->centre)},
                         {"sigma", number(place.frozen->sigma)},
                         {"points", place.frozen->points},
                         {"at", iso_8601(place.frozen->at)},
                         {"who", text(place.frozen->who)},
                         {"why", text(place.frozen->why)}};
}

Json line_json(const ControlLine& line) {
    boost::json::array points;
    for (const auto& point : line.points)
        points.push_back(ControlObject{{"label", text(point.label)},
                                       {"at", iso_8601(point.at)},
                                       {"value", number(point.value)},
                                       {"low", number(point.low)},
                                       {"high", number(point.high)},
                                       {"signal", text(point.signal)}});
    return ControlObject{{"title", text(line.title)},
                         {"centre", number(line.centre)},
                         {"points", std::move(points)}};
}

}  // namespace

std::string_view name_of(ControlKind kind) {
    return kind_names[static_cast<std::size_t>(kind)];
}

std::optional<ControlKind> control_kind_of(std::string_view name) {
    for (std::size_t i = 0; i < kind_names.size(); ++i)
        if (kind_names[i] == name) return static_cast<ControlKind>(i);
    return std::nullopt;
}

std::vector<std::string> control_kind_names() {
    return list_of(kind_names);
}

std::string_view typed_name_of(RunRule rule) {
    return rule_names[static_cast<std::size_t>(rule)];
}

std::optional<RunRule> run_rule_of(std::string_view typed) {
    for (std::size_t i = 0; i < rule_names.size(); ++i)
        if (rule_names[i] == typed) return static_cast<RunRule>(i);
    return std::nullopt;
}

std::vector<std::string> run_rule_names() {
    return list_of(rule_names);
}

std::size_t PlaceControl::signals() const {
    std::size_t count = 0;
    for (const auto& line : lines)
        for (const auto& point : line.points) count += point.signal.empty() ? 0 : 1;
    return count;
}

journal::Stored<ControlAnswer> control_answer(ledger::Reader& reader, const ControlWish& wish) {
    ControlAnswer answer;
    answer.kind = wish.kind;
    answer.baseline = of_counts(wish.kind) ? 0 : wish.baseline;  // these are of all points
    if (by_run_rules(wish.kind))
        for (std::size_t i = 0; i < quality::run_rule_count; ++i)
            if (wish.rules.has(static_cast<RunRule>(i)))
                answer.rules.emplace_back(quality::name_of(static_cast<RunRule>(i)));
    const auto many = too_many_units(reader, wish.values);
    if (!many) return many.error();
    answer.by_day = *many;
    const auto filled = wish.kind == ControlKind::share ? fill_shares(reader, wish, answer)
                        : wish.kind == ControlKind::occurrences
                            ? fill_occurrences(reader, wish, answer)
                        : answer.by_day ? fill_days(reader, wish, answer)
                                        : fill_values(reader, wish, answer);
    if (!filled) return filled.error();
    std::stable_sort(answer.places.begin(), answer.places.end(),
                     [](const auto& a, const auto& b) { return a.signals() > b.signals(); });
    return answer;
}

Json to_json(const ControlAnswer& answer) {
    boost::json::array places, rules;
    for (const auto& rule : answer.rules) rules.push_back(text(rule));
    for (const auto& place : answer.places) {
        boost::json::array lines;
        for (const auto& line : place.lines) lines.push_back(line_json(line));
        places.push_back(ControlObject{
            {"what", text(place.words)},
            {"unit", text(place.measure)},
            {"signals", place.signals()},
            {"run_length", place.run_length ? number(*place.run_length) : Json(nullptr)},
            {"frozen", frozen_json(place)},
            {"flaw", place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr)},
            {"lines", std::move(lines)}});
    }
    return ControlObject{{"kind", name_of(answer.kind)},
                         {"rules", std::move(rules)},
                         {"baseline", answer.baseline},
                         {"points_are_days", answer.by_day},
                         {"several_revisions", answer.several_revisions},
                         {"places", std::move(places)}};
}

Sheet sheet_of(const ControlAnswer& answer, std::size_t charts) {
    Sheet sheet;
    sheet.title = "Control charts: " + std::string(name_of(answer.kind));
    sheet.sentences = sentences_of(answer);
    Table table{"",
                {{"what", "", false},
                 {"points", "", true},
                 {"centre", "", true},
                 {"signals", "", true},
                 {"points to a false alarm", "", true},
                 {"", "", false}},
                {}};
    for (const auto& place : answer.places) {
        const bool drawn = !place.lines.empty();
        table.rows.push_back(
            {place.words, drawn ? count_cell(place.lines.front().points.size()) : TableCell("-"),
             drawn ? number_cell(place.lines.front().centre) : TableCell("-"),
             count_cell(place.signals()),
             place.run_length ? number_cell(*place.run_length, 3) : TableCell("-"),
             remark_of(answer, place)});
    }
    if (answer.places.empty()) sheet.sentences.emplace_back("No stored value answers to that.");
    sheet.tables.push_back(std::move(table));
    if (answer.plan)
        for (const auto& check : charted_checks(answer))
            sheet.panels.push_back(panel_of_charts(answer, check));
    for (const auto& place : answer.places) {
        if (charts-- == 0) break;
        if (place.lines.empty() || place.lines.front().points.empty()) continue;
        auto of_place = charts_of(place);
        if (const auto words = lone_value_words(answer, place); !words.empty())
            of_place.front().sentence += " " + words + ".";
        for (auto& chart : of_place) sheet.charts.push_back(std::move(chart));
    }
    return sheet;
}

}  // namespace padtrim::answers
