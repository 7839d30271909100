#include "station/answers/gauge_walk.hpp"

#include <algorithm>
#include <array>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using WalkObject = boost::json::object;

std::size_t missing_of(const GaugeCell& unit) {
    std::size_t missing = 0;
    for (const std::size_t count : unit.measured)
        missing += count < study_repetitions ? study_repetitions - count : 0;
    return missing;
}

std::string first_missing(const GaugeWalk& walk) {
    for (const auto& unit : walk.units)
        for (std::size_t i = 0; i < walk.nests.size(); ++i)
            if (unit.measured[i] < study_repetitions)
                return "Measure unit " + printable(unit.serial, 40) + " in nest " +
                       std::to_string(walk.nests[i]) + ", loaded anew.";
    return "";
}

GaugeCell& cell_of(GaugeWalk& walk, const std::string& serial) {
    for (auto& unit : walk.units)
        if (unit.serial == serial) return unit;
    walk.units.push_back({serial, std::vector<std::size_t>(walk.nests.size(), 0)});
    return walk.units.back();
}

}  // namespace

std::size_t GaugeWalk::missing() const {
    std::size_t missing = 0;
    for (const auto& unit : units) missing += missing_of(unit);
    return missing;
}

GaugeWalk gauge_walk(const std::vector<ledger::RunSummary>& runs,
                     std::vector<std::uint16_t> nests) {
    GaugeWalk walk;
    walk.nests = std::move(nests);
    for (const auto& run : runs) {
        const auto nest = std::find(walk.nests.begin(), walk.nests.end(), run.nest);
        const std::string& serial = run.serial.empty() ? run.label : run.serial;
        if (serial.empty() || nest == walk.nests.end()) continue;
        if (run.verdict == record::Verdict::no_verdict) continue;
        ++cell_of(walk, serial).measured[static_cast<std::size_t>(nest - walk.nests.begin())];
    }
    return walk;
}

journal::Stored<GaugeWalk> gauge_walk(ledger::Reader& reader, const ValueWish& wish) {
    const auto runs = wished_runs(reader, wish);
    if (!runs) return runs.error();
    const auto plan = plan_of_newest(reader, *runs);
    if (!plan) return plan.error();
    std::vector<std::uint16_t> nests;
    if (*plan)
        for (const auto& nest : (*plan)->fixture.nests) nests.push_back(nest.number);
    return gauge_walk(*runs, std::move(nests));
}

std::string_view name_of(GaugeStep step) {
    constexpr std::array<std::string_view, 4> names = {"choose", "first", "again", "read"};
    return names.at(static_cast<std::size_t>(step));
}

GaugeStep step_of(const GaugeWalk& walk) {
    if (walk.units.empty()) return GaugeStep::choose;
    if (walk.missing() > 0) return GaugeStep::again;
    return walk.units.size() < study_units ? GaugeStep::first : GaugeStep::read;
}

std::string next_measurement(const GaugeWalk& walk) {
    switch (step_of(walk)) {
        case GaugeStep::choose:
            return "Choose ten units that differ as the line's do, and run them as a lot that only "
                   "measures.";
        case GaugeStep::again:
            return first_missing(walk);
        case GaugeStep::first:
            return "Measure unit " + std::to_string(walk.units.size() + 1) + " of " +
                   std::to_string(study_units) + ", in every nest.";
        case GaugeStep::read:
            break;
    }
    return "Read the result: the study is whole.";
}

Json to_json(const GaugeWalk& walk) {
    boost::json::array nests, units;
    for (const auto nest : walk.nests) nests.push_back(nest);
    for (const auto& unit : walk.units) {
        boost::json::array measured;
        for (const auto count : unit.measured) measured.push_back(count);
        units.push_back(WalkObject{{"serial", text(unit.serial)}, {"measured", measured}});
    }
    return WalkObject{{"sentence", next_measurement(walk)}, {"step", name_of(step_of(walk))},
                      {"nests", std::move(nests)},          {"units", std::move(units)},
                      {"units_wanted", study_units},        {"repetitions", study_repetitions},
                      {"missing", walk.missing()},          {"whole", walk.whole()}};
}

Table table_of(const GaugeWalk& walk) {
    Table table{"Measured so far", {{"unit", "", false}}, {}};
    for (const auto nest : walk.nests)
        table.columns.push_back({"nest " + std::to_string(nest), "", true});
    table.columns.push_back({"missing", "", true});
    for (const auto& unit : walk.units) {
        std::vector<TableCell> row = {printable(unit.serial, 40)};
        for (const auto count : unit.measured) row.push_back(count_cell(count));
        row.push_back(count_cell(missing_of(unit)));
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace padtrim::answers
