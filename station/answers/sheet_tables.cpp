#include "station/answers/sheet_tables.hpp"

#include <algorithm>

namespace padtrim::answers {
namespace {

template <class Figure>
const Figure* figure_named(const std::vector<Figure>& figures, std::string_view id) {
    const auto at = std::find_if(figures.begin(), figures.end(),
                                 [&](const Figure& figure) { return figure.id == id; });
    return at == figures.end() ? nullptr : &*at;
}

std::optional<Table> first_of(const Sheet& sheet) {
    if (!sheet.tables.empty()) return sheet.tables.front();
    if (!sheet.charts.empty()) return sheet.charts.front().table;
    return std::nullopt;
}

}  // namespace

std::optional<Table> table_named(const Sheet& sheet, std::string_view figure) {
    if (figure.empty()) return first_of(sheet);
    for (std::size_t i = 0; i < sheet.tables.size(); ++i)
        if (figure == "table-" + std::to_string(i + 1)) return sheet.tables[i];
    if (const auto* chart = figure_named(sheet.charts, figure)) return chart->table;
    for (const auto& panel : sheet.panels) {
        if (panel.id == figure) return panel.table;
        if (const auto* chart = figure_named(panel.charts, figure)) return chart->table;
    }
    if (const auto* tape = figure_named(sheet.tapes, figure)) return table_of(*tape);
    return std::nullopt;
}

}  // namespace padtrim::answers
