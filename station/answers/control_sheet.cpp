// Control charts as drawn: a chart a place, small ones on the panel, a table.
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "station/answers/control_answer.hpp"
#include "station/answers/control_words.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/lone_value.hpp"
#include "station/answers/panel_figures.hpp"

namespace padtrim::answers {
namespace {

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

// A key has a chart for each of its channels and frequencies; the panel has room for one.
std::string drawn_words(const ControlAnswer& answer, const std::string& check, std::size_t keys) {
    std::map<std::string, std::size_t> charts;
    std::size_t most = 0;
    for (const auto& each : answer.places)
        if (each.place.check == check && !each.lines.empty())
            most = std::max(most, ++charts[each.place.key]);
    const std::string drawn = "Drawn: " + counted(keys, "key");
    if (most < 2) return drawn + ", a chart each.";
    return drawn + ", each by the one of its " + std::to_string(most) +
           " charts with most signals.";
}

// Small multiples: of each key the channel and frequency with most signals.
PanelFigure panel_of_charts(const ControlAnswer& answer, const std::string& check) {
    auto figure = panel_of(answer.plan, id_of("charts of " + check),
                           "Charts of " + check + ", each at its key");
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
    figure.sentence = drawn_words(answer, check, figure.charts.size()) +
                      " Broken frame: a rule signals. Dotted: no chart.";
    return figure;
}

}  // namespace

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
