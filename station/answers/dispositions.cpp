#include "station/answers/dispositions.hpp"

#include <array>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/answers/unit_history.hpp"

namespace padtrim::answers {
namespace {

using record::Disposition;
using DispositionObject = boost::json::object;

constexpr std::array all_dispositions = {Disposition::released, Disposition::rework,
                                         Disposition::scrap, Disposition::quarantined,
                                         Disposition::undecided};

Json unit_json(const DisposedUnit& unit) {
    const auto& run = unit.run;
    boost::json::array changes;
    for (const auto& change : unit.changes) changes.push_back(to_json(change));
    return DispositionObject{{"run", run.run},
                             {"serial", text(run.serial)},
                             {"label", text(run.label)},
                             {"lot", text(run.lot_name)},
                             {"station", text(run.station)},
                             {"nest", run.nest},
                             {"began", iso_8601(run.started)},
                             {"verdict", record::name_of(run.verdict)},
                             {"disposition", record::name_of(run.disposition)},
                             {"write_stage", record::name_of(run.write_stage)},
                             {"reason", text(run.reason)},
                             {"next_step", text(run.next_step)},
                             {"changes", std::move(changes)}};
}

std::string by_whom(const DisposedUnit& unit) {
    if (unit.changes.size() < 2) return "the station";
    const auto& newest = unit.changes.back();
    return printable(newest.who, 64) + ", " + minute_words(newest.at) +
           " UTC: " + printable(newest.reason, 300);
}

Table units_table(const Dispositions& answer) {
    Table table{"",
                {{"unit", "", false},
                 {"lot", "", false},
                 {"began", "", false},
                 {"verdict", "", false},
                 {"disposition", "", false},
                 {"decided by", "", false},
                 {"why", "", false},
                 {"next", "", false}},
                {}};
    for (const auto& unit : answer.units)
        table.rows.push_back(
            {printable(unit.run.serial.empty() ? unit.run.label : unit.run.serial, 64),
             printable(unit.run.lot_name, 64), iso_8601(unit.run.started),
             std::string(record::name_of(unit.run.verdict)),
             std::string(record::name_of(unit.run.disposition)), by_whom(unit),
             printable(unit.run.reason, 300), printable(unit.run.next_step, 200)});
    return table;
}

}  // namespace

std::vector<Disposition> dispositions_named(std::string_view name) {
    if (name == "waiting") return {Disposition::quarantined, Disposition::undecided};
    for (const auto one : all_dispositions)
        if (record::name_of(one) == name) return {one};
    return {};
}

std::vector<std::string> disposition_names() {
    std::vector<std::string> names = {"waiting"};
    for (const auto one : all_dispositions) names.emplace_back(record::name_of(one));
    return names;
}

std::optional<Disposition> decision_named(std::string_view name) {
    for (const auto one : all_dispositions)
        if (one != Disposition::undecided && record::name_of(one) == name) return one;
    return std::nullopt;
}

journal::Stored<Dispositions> dispositions(ledger::Reader& reader, const QualityWish& wish,
                                           const std::vector<Disposition>& which,
                                           std::size_t most) {
    Dispositions answer;
    answer.which = which;
    auto filter = values_of(wish, record::Stage::as_found).runs;
    filter.released = false;  // a unit of a draft waits too
    auto runs = reader.disposed(filter, which, most + 1);
    if (!runs) return runs.error();
    if (wish.nest) std::erase_if(*runs, [&](const auto& run) { return run.nest != *wish.nest; });
    answer.more = runs->size() > most;
    if (answer.more) runs->resize(most);
    for (auto& run : *runs) {
        auto changes = reader.dispositions_of(run.run);
        if (!changes) return changes.error();
        answer.units.push_back({std::move(run), std::move(*changes)});
    }
    return answer;
}

journal::Stored<std::optional<ledger::RunSummary>> run_to_decide(ledger::Reader& reader,
                                                                 const std::string& serial,
                                                                 record::RunId run) {
    if (serial.empty() && run != 0) {
        const auto looked_at = reader.stored_run(run);
        if (!looked_at) return looked_at.error();
        if (!*looked_at || !(*looked_at)->summary.ended) return std::optional<ledger::RunSummary>();
        const auto& found = (*looked_at)->summary;
        if (found.serial.empty() && found.label.empty()) return std::optional(found);
        return run_to_decide(reader, found.serial.empty() ? found.label : found.serial);
    }
    const auto runs = reader.runs_of(serial);
    if (!runs) return runs.error();
    std::optional<ledger::RunSummary> newest;
    for (const auto& run : *runs)
        if (run.ended && (!newest || run.run > newest->run)) newest = run;
    return newest;
}

Json to_json(const Dispositions& answer) {
    boost::json::array units;
    for (const auto& unit : answer.units) units.push_back(unit_json(unit));
    return DispositionObject{{"units", std::move(units)}, {"more", answer.more}};
}

Sheet sheet_of(const Dispositions& answer) {
    Sheet sheet;
    sheet.title = "What becomes of units";
    sheet.sentences.push_back(answer.units.empty() ? "No unit answers to that."
                                                   : counted(answer.units.size(), "unit") +
                                                         ", each by its newest run, newest first" +
                                                         (answer.more ? "; there are more." : "."));
    sheet.tables.push_back(units_table(answer));
    return sheet;
}

}  // namespace padtrim::answers
