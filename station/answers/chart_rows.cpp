#include "station/answers/chart_rows.hpp"

namespace padtrim::answers {
namespace {

TableCell from_zero(int number) {
    return number < 0 ? TableCell("") : count_cell(static_cast<std::uint64_t>(number));
}

std::vector<TableCell> chart_of_row(const PlaceControl& place) {
    const auto& at = place.place;
    const bool counts = at.check.empty();
    return {place.words,
            at.step,
            at.check,
            at.key,
            from_zero(counts ? -1 : at.channel),
            from_zero(counts ? -1 : at.frequency),
            counts ? std::string() : std::string(record::name_of(at.stage))};
}

void add_points(Table& table, const PlaceControl& place, const ControlLine& line) {
    const auto chart = chart_of_row(place);
    for (const auto& point : line.points) {
        auto row = chart;
        row.insert(row.end(),
                   {TableCell(line.title), TableCell(point.label), TableCell(iso_8601(point.at)),
                    number_cell(point.value), number_cell(point.low), number_cell(point.high),
                    TableCell(place.measure), TableCell(point.signal)});
        table.rows.push_back(std::move(row));
    }
}

}  // namespace

Table chart_rows(const ControlAnswer& answer) {
    Table table;
    for (const char* title :
         {"what", "step", "check", "key", "channel", "frequency", "stage", "line", "point", "at"})
        table.columns.push_back({title, "", false});
    for (const char* title : {"value", "low", "high"}) table.columns.push_back({title, "", true});
    table.columns.push_back({"unit", "", false});
    table.columns.push_back({"signal", "", false});
    for (const auto& place : answer.places)
        for (const auto& line : place.lines) add_points(table, place, line);
    return table;
}

}  // namespace padtrim::answers
