#include "station/answers/sampling_rows.hpp"

#include <array>

#include "db/quality/names.hpp"

namespace padtrim::answers {
namespace {

constexpr std::array lot_columns = {"lot",    "units",  "inspection",    "letter",
                                    "sample", "accept", "nonconforming", "units to look at"};

std::vector<TableCell> cells_of(const SamplingStanding& standing) {
    const auto& plan = standing.plan;
    return {plan.product, plan.step, plan.level, number_cell(plan.quality_limit),
            std::string(quality::name_of(standing.switching.severity()))};
}

std::vector<TableCell> cells_of(const record::SampledLot& lot) {
    std::string units;
    for (const auto unit : chosen_units(lot))
        units += (units.empty() ? "" : " ") + std::to_string(unit);
    return {lot.lot,
            count_cell(lot.size),
            lot.severity,
            lot.letter,
            count_cell(lot.sample),
            count_cell(lot.accept),
            lot.nonconforming ? count_cell(*lot.nonconforming) : TableCell(""),
            units};
}

}  // namespace

Table sampling_rows(const std::vector<SamplingStanding>& standings) {
    Table table{"",
                {{"product", "", false},
                 {"step", "", false},
                 {"level", "", false},
                 {"AQL", "%", true},
                 {"next inspection", "", false}},
                {}};
    for (const char* title : lot_columns) table.columns.push_back({title, "", false});
    for (const auto& standing : standings) {
        const auto plan = cells_of(standing);
        for (const auto& lot : standing.plan.lots) {
            table.rows.push_back(plan);
            for (auto& cell : cells_of(lot)) table.rows.back().push_back(std::move(cell));
        }
        if (!standing.plan.lots.empty()) continue;
        table.rows.push_back(plan);
        table.rows.back().insert(table.rows.back().end(), lot_columns.size(), TableCell(""));
    }
    return table;
}

}  // namespace padtrim::answers
