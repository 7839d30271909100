#include "station/answers/chart.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"

namespace padtrim::answers {
namespace {

using ChartArray = boost::json::array;
using ChartObject = boost::json::object;

Json maybe(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json axis_json(const Axis& axis) {
    constexpr std::array names = {"number", "order", "moment"};
    ChartArray list;
    for (const auto& name : axis.names) list.push_back(text(name));
    return ChartObject{{"title", text(axis.title)},
                       {"unit", text(axis.unit)},
                       {"scale", names[static_cast<std::size_t>(axis.scale)]},
                       {"names", std::move(list)},
                       {"low", maybe(axis.low)},
                       {"high", maybe(axis.high)},
                       {"share", axis.share}};
}

Json dot_json(const Dot& dot) {
    ChartObject json{{"x", number(dot.x)}, {"y", number(dot.y)}};
    if (dot.low) json["low"] = number(*dot.low);
    if (dot.high) json["high"] = number(*dot.high);
    if (!dot.remark.empty()) json["remark"] = text(dot.remark);
    if (!dot.note.empty()) json["note"] = text(dot.note);
    return json;
}

Json series_json(const Series& series) {
    ChartArray dots;
    for (const auto& dot : series.dots) dots.push_back(dot_json(dot));
    return ChartObject{{"name", text(series.name)},
                       {"shape", name_of(series.shape)},
                       {"stroke", name_of(series.stroke)},
                       {"dots", std::move(dots)}};
}

Json limit_json(const LimitLine& limit) {
    return ChartObject{{"name", text(limit.name)},
                       {"value", number(limit.value)},
                       {"kind", name_of(limit.kind)},
                       {"of_x", limit.of_x}};
}

Json place_json(const PanelPlace& place) {
    return ChartObject{{"key", text(place.key)},
                       {"round", place.round},
                       {"x", number(place.x)},
                       {"y", number(place.y)},
                       {"width", number(place.width)},
                       {"height", number(place.height)},
                       {"value", text(place.value)},
                       {"detail", text(place.detail)},
                       {"tone", number(place.tone)},
                       {"outline", name_of(place.outline)},
                       {"chart", place.chart ? Json(*place.chart) : Json(nullptr)}};
}

template <class List>
Json list_json(const List& list) {
    ChartArray json;
    for (const auto& entry : list) json.push_back(to_json(entry));
    return json;
}

// What spreadsheets would compute instead of show.
bool looks_like_formula(const std::string& cell) {
    return !cell.empty() && std::string_view("=+-@\t\r").find(cell.front()) != std::string::npos;
}

std::string csv_cell(const TableCell& cell) {
    if (cell.value) return exact(*cell.value);
    return looks_like_formula(cell.text) && cell.text != "-" ? "'" + cell.text : cell.text;
}

}  // namespace

std::string_view name_of(Shape shape) {
    constexpr std::array<std::string_view, 6> names = {"line",      "points", "bars",
                                                       "intervals", "steps",  "ranked"};
    return names[static_cast<std::size_t>(shape)];
}

std::string_view name_of(Stroke stroke) {
    constexpr std::array<std::string_view, 3> names = {"continuous", "dashed", "dotted"};
    return names[static_cast<std::size_t>(stroke)];
}

std::string_view name_of(LimitKind kind) {
    constexpr std::array<std::string_view, 3> names = {"specification", "control", "centre"};
    return names[static_cast<std::size_t>(kind)];
}

TableCell count_cell(std::uint64_t count) {
    return {std::to_string(count), static_cast<double>(count)};
}

TableCell number_cell(double value, int digits) {
    if (!std::isfinite(value)) return {"-"};
    const bool whole = std::abs(value) <= largest_whole && std::trunc(value) == value;
    return {whole ? fmt::format("{:.0f}", value) : fmt::format("{:.{}g}", value, digits), value};
}

TableCell share_cell(double share) {
    if (!std::isfinite(share)) return {"-"};
    return {percent(share), share};
}

TableCell ppm_cell(double parts_per_million) {
    constexpr double least = 0.001;
    if (parts_per_million > 0.0 && parts_per_million < least)
        return {fmt::format("< {:g}", least), parts_per_million};
    if (std::isfinite(parts_per_million) && parts_per_million >= 100.0)
        return {fmt::format("{:.0f}", parts_per_million), parts_per_million};
    return number_cell(parts_per_million, 3);
}

Sheet shortened(Sheet sheet, std::size_t rows, std::size_t panels) {
    for (auto& table : sheet.tables) {
        if (table.rows.size() <= rows) continue;
        table.title += fmt::format("{}the first {} of {} rows", table.title.empty() ? "" : ": ",
                                   rows, table.rows.size());
        table.rows.erase(table.rows.begin() + static_cast<std::ptrdiff_t>(rows), table.rows.end());
    }
    if (sheet.panels.size() <= panels) return sheet;
    std::string others;
    for (std::size_t i = panels; i < sheet.panels.size(); ++i)
        others += (others.empty() ? "" : ", ") + sheet.panels[i].title;
    sheet.sentences.push_back("Not drawn: " + others + ".");
    sheet.panels.erase(sheet.panels.begin() + static_cast<std::ptrdiff_t>(panels),
                       sheet.panels.end());
    return sheet;
}

Table for_reading(Table table) {
    for (auto& row : table.rows) {
        for (std::size_t i = 0; i < row.size() && i < table.columns.size(); ++i) {
            const auto minutes = row[i].value ? std::nullopt : minute_words(row[i].text);
            if (!minutes) row[i].text = with_minus(row[i].text);
            if (!minutes) continue;
            row[i].text = *minutes;
            if (table.columns[i].unit.empty()) table.columns[i].unit = "UTC";
        }
    }
    return table;
}

Json to_json(const Table& given) {
    const Table table = for_reading(given);
    ChartArray columns, rows;
    for (const auto& column : table.columns) {
        columns.push_back(ChartObject{
            {"title", text(column.title)}, {"unit", text(column.unit)}, {"number", column.number}});
    }
    for (const auto& row : table.rows) {
        ChartArray cells;
        for (const auto& cell : row)
            cells.push_back(cell.value ? Json(ChartObject{{"text", text(cell.text)},
                                                          {"value", number(*cell.value)}})
                                       : text(cell.text));
        rows.push_back(std::move(cells));
    }
    return ChartObject{
        {"title", text(table.title)}, {"columns", std::move(columns)}, {"rows", std::move(rows)}};
}

Json to_json(const Chart& chart) {
    ChartArray series, limits;
    for (const auto& entry : chart.series) series.push_back(series_json(entry));
    for (const auto& limit : chart.limits) limits.push_back(limit_json(limit));
    return ChartObject{{"id", text(chart.id)},
                       {"title", text(chart.title)},
                       {"sentence", text(chart.sentence)},
                       {"x", axis_json(chart.x)},
                       {"y", axis_json(chart.y)},
                       {"series", std::move(series)},
                       {"limits", std::move(limits)},
                       {"below", chart.below},
                       {"table", to_json(chart.table)}};
}

Json to_json(const PanelFigure& figure) {
    ChartArray places;
    for (const auto& place : figure.places) places.push_back(place_json(place));
    return ChartObject{{"id", text(figure.id)},
                       {"title", text(figure.title)},
                       {"sentence", text(figure.sentence)},
                       {"width", number(figure.width)},
                       {"height", number(figure.height)},
                       {"places", std::move(places)},
                       {"charts", list_json(figure.charts)},
                       {"table", to_json(figure.table)}};
}

Json to_json(const TapeFigure& tape) {
    ChartArray units;
    for (const auto& unit : tape.units)
        units.push_back(ChartObject{{"serial", text(unit.serial)}, {"mark", text(unit.mark)}});
    return ChartObject{{"id", text(tape.id)},
                       {"title", text(tape.title)},
                       {"sentence", text(tape.sentence)},
                       {"units", std::move(units)}};
}

Table table_of(const TapeFigure& tape) {
    Table table{tape.title, {{"place", "", true}, {"unit", "", false}, {"", "", false}}, {}};
    for (const auto& unit : tape.units)
        table.rows.push_back({count_cell(table.rows.size() + 1), unit.serial, unit.mark});
    return table;
}

Json to_json(const Sheet& sheet) {
    ChartArray sentences;
    for (const auto& sentence : sheet.sentences) sentences.push_back(text(sentence));
    return ChartObject{{"title", text(sheet.title)},        {"sentences", std::move(sentences)},
                       {"tapes", list_json(sheet.tapes)},   {"tables", list_json(sheet.tables)},
                       {"panels", list_json(sheet.panels)}, {"charts", list_json(sheet.charts)},
                       {"finding", sheet.finding}};
}

std::string exact(double value) {
    if (!std::isfinite(value)) return "";
    const double size = std::abs(value);
    const bool plain = size == 0.0 || (size >= 1e-6 && size <= largest_whole);
    std::array<char, 48> buffer{};
    char* const last = buffer.data() + buffer.size();
    const auto end = plain ? std::to_chars(buffer.data(), last, value, std::chars_format::fixed)
                           : std::to_chars(buffer.data(), last, value);
    return {buffer.data(), end.ptr};
}

std::string csv_line(const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) line += ',';
        if (cells[i].find_first_of(",\"\r\n") == std::string::npos) {
            line += cells[i];
            continue;
        }
        line += '"';
        for (const char c : cells[i]) line += c == '"' ? std::string("\"\"") : std::string(1, c);
        line += '"';
    }
    return line + "\r\n";
}

std::string csv_of(const Table& table) {
    std::vector<std::string> cells;
    for (const auto& column : table.columns)
        cells.push_back(column.unit.empty() ? column.title
                                            : column.title + " (" + column.unit + ")");
    return csv_line(cells) + csv_rows(table);
}

std::string csv_rows(const Table& table) {
    std::string csv;
    std::vector<std::string> cells;
    for (const auto& row : table.rows) {
        cells.clear();
        for (const auto& cell : row) cells.push_back(csv_cell(cell));
        csv += csv_line(cells);
    }
    return csv;
}

std::string id_of(std::string_view words) {
    std::string id;
    for (const char c : words) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        const char small = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        if (letter || (small >= 'a' && small <= 'z')) {
            id += small;
        } else if (!id.empty() && id.back() != '-') {
            id += '-';
        }
    }
    while (!id.empty() && id.back() == '-') id.pop_back();
    return id.empty() ? "figure" : id;
}

}  // namespace padtrim::answers
