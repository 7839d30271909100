#include "station/answers/lot_report.hpp"

#include <algorithm>
#include <utility>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "recipes/language/load.hpp"
#include "station/answers/yield_report.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;

Mark mark_of_run(const ledger::TapeMark& run) {
    return run.ended ? mark_of(run.verdict, run.disposition) : Mark::running;
}

std::vector<TapeMark> marks(const std::vector<ledger::TapeMark>& runs) {
    std::vector<TapeMark> result;
    for (const auto& run : runs) result.push_back({run.serial, run.nest, mark_of_run(run)});
    return result;
}

// Each unit's newest ended run; a run without a serial is a unit of its own.
std::vector<const ledger::TapeMark*> newest_runs(const std::vector<ledger::TapeMark>& runs) {
    std::vector<const ledger::TapeMark*> units;
    for (const auto& run : runs) {
        if (!run.ended) continue;
        auto at = std::find_if(units.begin(), units.end(), [&](const auto* unit) {
            return !run.serial.empty() && unit->serial == run.serial;
        });
        if (at == units.end()) {
            units.push_back(&run);
        } else {
            *at = &run;
        }
    }
    return units;
}

journal::Stored<std::string> next_step_of(ledger::Reader& reader, const ledger::TapeMark& run) {
    const auto summaries = reader.runs_of(run.serial);
    if (!summaries) return summaries.error();
    for (const auto& summary : summaries.value()) {
        if (summary.run == run.run) return summary.next_step;
    }
    return std::string();
}

void add_to_group(std::vector<UnitGroup>& groups, const ledger::TapeMark& run, Mark mark,
                  const std::string& next_step) {
    auto at = std::find_if(groups.begin(), groups.end(), [&](const UnitGroup& group) {
        return group.mark == mark && group.next_step == next_step && group.reason == run.reason;
    });
    if (at == groups.end()) at = groups.insert(at, {mark, next_step, {}, run.reason});
    at->serials.push_back(run.serial);
}

journal::Stored<std::vector<UnitGroup>> groups_of(ledger::Reader& reader,
                                                  const std::vector<ledger::TapeMark>& runs) {
    std::vector<UnitGroup> groups;
    for (const auto* run : newest_runs(runs)) {
        const Mark mark = mark_of_run(*run);
        if (mark == Mark::pass) continue;
        const auto next_step = next_step_of(reader, *run);
        if (!next_step) return next_step.error();
        add_to_group(groups, *run, mark, next_step.value());
    }
    std::stable_sort(groups.begin(), groups.end(), [](const UnitGroup& a, const UnitGroup& b) {
        return a.serials.size() > b.serials.size();
    });
    return groups;
}

// A unit that comes again after it has passed is set aside too, and stays what it was.
bool has_run(const std::vector<ledger::TapeMark>& runs, const std::string& serial) {
    return std::any_of(runs.begin(), runs.end(), [&](const ledger::TapeMark& run) {
        return run.ended && !serial.empty() && run.serial == serial;
    });
}

journal::Stored<language::PlanPtr> plan_of(ledger::Reader& reader,
                                           const std::vector<ledger::TapeMark>& runs) {
    if (runs.empty()) return language::PlanPtr();
    const auto run = reader.stored_run(runs.back().run);
    if (!run) return run.error();
    if (!run.value()) return language::PlanPtr();
    return language::read_plan(run.value()->plan_text).plan;
}

// The first fault of the questions ends it.
journal::Stored<void> fill(ledger::Reader& reader, LotReport& report) {
    const auto runs = reader.tape(report.lot.lot);
    if (!runs) return runs.error();
    report.tape = marks(runs.value());
    auto plan = plan_of(reader, runs.value());
    if (!plan) return plan.error();
    report.plan = std::move(plan.value());
    auto groups = groups_of(reader, runs.value());
    if (!groups) return groups.error();
    report.groups = std::move(groups.value());
    auto lines = reader.lines_of(report.lot.lot);
    if (!lines) return lines.error();
    report.lines = std::move(lines.value());
    auto failures = reader.failures(report.lot.lot);
    if (!failures) return failures.error();
    report.failures = std::move(failures.value());
    const auto aside = reader.set_aside(report.lot.lot);
    if (!aside) return aside.error();
    for (const auto& unit : aside.value()) {
        if (has_run(runs.value(), unit.serial)) continue;
        report.set_aside.push_back({unit.serial, unit.nest, unit.reason});
        report.tape.push_back({unit.serial, unit.nest, Mark::removed});
    }
    return {};
}

journal::Stored<std::optional<quality::Yield>> yield_of_lot(ledger::Reader& reader,
                                                            const ledger::LotSummary& lot) {
    ledger::YieldFilter filter;
    filter.lot = lot.name;
    filter.station = lot.station;
    filter.measure_only = lot.measure_only;
    filter.drafts = true;
    const auto lines = yield_report(reader, filter, ledger::YieldBy::lot);
    if (!lines) return lines.error();
    return lines.value().empty() ? std::nullopt : lines.value().front().yield;
}

Json to_json(const ledger::Spread& spread) {
    return Object{{"mean", number(spread.mean)},
                  {"low", number(spread.low)},
                  {"high", number(spread.high)},
                  {"standard_deviation", number(spread.standard_deviation)},
                  {"mean_standard_uncertainty", number(spread.mean_standard)},
                  {"mean_expanded_uncertainty", number(spread.mean_expanded)}};
}

Json to_json(const ledger::LineSummary& line) {
    return Object{
        {"channel", line.channel}, {"frequency", line.frequency}, {"key", line.key},
        {"units", line.units},     {"gain", to_json(line.gain)},  {"offset", to_json(line.offset)}};
}

Json to_json(const ledger::FailureSummary& failure) {
    const std::string stage(record::name_of(failure.stage));
    return Object{{"step", failure.step},
                  {"check", failure.check},
                  {"key", failure.key},
                  {"stage", stage},
                  {"failed", failure.failed},
                  {"inconclusive", failure.inconclusive},
                  {"worst_margin", number(failure.worst_margin)},
                  {"example_serial", failure.example_serial},
                  {"note", failure.note}};
}

Json to_json(const UnitGroup& group) {
    const std::string mark(name_of(group.mark));
    return Object{{"mark", mark},
                  {"serials", Array(group.serials.begin(), group.serials.end())},
                  {"reason", group.reason},
                  {"next_step", group.next_step}};
}

Json to_json(const AsideNote& note) {
    return Object{{"serial", note.serial}, {"nest", note.nest}, {"reason", note.reason}};
}

template <class T>
Array array_of(const std::vector<T>& values) {
    Array list;
    for (const auto& value : values) list.push_back(to_json(value));
    return list;
}

}  // namespace

journal::Stored<std::vector<TapeMark>> lot_tape(ledger::Reader& reader, const std::string& name) {
    const auto lot = reader.lot(name);
    if (!lot) return lot.error();
    if (!lot.value()) return std::vector<TapeMark>{};
    const auto runs = reader.tape(lot.value()->lot);
    if (!runs) return runs.error();
    return marks(runs.value());
}

journal::Stored<std::optional<LotReport>> lot_report(ledger::Reader& reader,
                                                     const std::string& name) {
    const auto lot = reader.lot(name);
    if (!lot) return lot.error();
    if (!lot.value()) return std::optional<LotReport>{};
    LotReport report;
    report.lot = *lot.value();
    const auto filled = fill(reader, report);
    if (!filled) return filled.error();
    const auto yield = yield_of_lot(reader, report.lot);
    if (!yield) return yield.error();
    report.yield = yield.value();
    return std::optional(std::move(report));
}

Json to_json(const LotReport& report) {
    const auto& lot = report.lot;
    Array tape;
    for (const auto& mark : report.tape) {
        const std::string word(name_of(mark.mark));
        tape.push_back(Object{{"serial", mark.serial}, {"nest", mark.nest}, {"mark", word}});
    }
    return Object{{"lot", lot.name},
                  {"station", lot.station},
                  {"measure_only", lot.measure_only},
                  {"permission", to_json(lot.permission)},
                  {"open", lot.open},
                  {"recipe", lot.recipe},
                  {"recipe_revision", lot.recipe_revision},
                  {"product", lot.product},
                  {"fixture", lot.fixture},
                  {"plan_hash", lot.plan_hash},
                  {"operator", lot.operator_name},
                  {"first_opened", iso_8601(lot.first_opened)},
                  {"count", to_json(lot.count)},
                  {"yield", report.yield ? to_json(*report.yield) : Json(nullptr)},
                  {"tape", std::move(tape)},
                  {"lines", array_of(report.lines)},
                  {"not_passed", array_of(report.groups)},
                  {"failures", array_of(report.failures)},
                  {"set_aside", array_of(report.set_aside)}};
}

}  // namespace padtrim::answers
