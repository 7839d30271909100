#include "station/answers/quality_report.hpp"

#include "station/answers/capability_answer.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/drift_answer.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/lot_sheet.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/answers/yield_answer.hpp"

namespace padtrim::answers {
namespace {

std::string to_minutes(record::WallTime at) {
    return minute_words(at);
}

std::string period_of(const QualityWish& wish) {
    if (!wish.since && !wish.until) return "all time";
    return (wish.since ? to_minutes(*wish.since) : "the beginning") + " to " +
           (wish.until ? to_minutes(*wish.until) : "now");
}

std::string or_all(const std::optional<std::string>& name) {
    return name ? printable(*name, 64) : "all";
}

void fill_block(const ReportWish& wish, const std::optional<LotReport>& lot, Report& report) {
    report.block = {{"lot", or_all(wish.of.lot)}, {"period, UTC", period_of(wish.of)}};
    if (lot) {
        report.block.emplace_back("station", printable(lot->lot.station, 64));
        report.block.emplace_back("product", printable(lot->lot.product, 64));
        report.block.emplace_back("recipe", printable(lot->lot.recipe, 64) + " " +
                                                printable(lot->lot.recipe_revision, 20));
        report.block.emplace_back("plan", lot->lot.plan_hash.substr(0, 16));
    } else {
        report.block.emplace_back("station", or_all(wish.of.station));
        report.block.emplace_back("product", or_all(wish.of.product));
        report.block.emplace_back(
            "recipe", wish.of.recipe_revision
                          ? or_all(wish.of.recipe) + " " + printable(*wish.of.recipe_revision, 20)
                          : or_all(wish.of.recipe));
    }
    report.block.emplace_back("drawn, UTC", to_minutes(wish.now));
    report.block.emplace_back("by", wish.who.empty() ? "-" : printable(wish.who, 64));
}

journal::Stored<std::optional<LotReport>> lot_of(ledger::Reader& reader, const ReportWish& wish) {
    if (!wish.of.lot) return std::optional<LotReport>();
    return lot_report(reader, *wish.of.lot);
}

// What one looks at on paper; the commands and their --csv have every row.
void add(Report& report, Sheet sheet) {
    constexpr std::size_t rows = 24, panels = 3;
    report.sheets.push_back(shortened(std::move(sheet), rows, panels));
}

journal::Stored<void> add_yield(ledger::Reader& reader, const ReportWish& wish, Report& report) {
    const auto by = wish.of.lot ? ledger::RollupBy::nest : ledger::RollupBy::lot;
    const auto answer = yield_and_rolled(reader, wish.of, by);
    if (!answer) return answer.error();
    add(report, sheet_of(*answer));
    return {};
}

journal::Stored<void> add_capability(ledger::Reader& reader, const ReportWish& wish,
                                     Report& report) {
    for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
        const auto answer = capability_answer(reader, wish.of, stage);
        if (!answer) return answer.error();
        if (!answer->places.empty()) add(report, sheet_of(*answer, 4));
    }
    return {};
}

journal::Stored<void> add_charts(ledger::Reader& reader, const ReportWish& wish, Report& report) {
    ControlWish charts;
    charts.values = values_of(wish.of, record::Stage::as_found);
    const auto values = control_answer(reader, charts);
    if (!values) return values.error();
    if (!values->places.empty()) add(report, sheet_of(*values, 3));
    if (wish.of.lot) return {};
    charts.kind = ControlKind::share;
    const auto shares = control_answer(reader, charts);
    if (!shares) return shares.error();
    if (!shares->places.empty()) add(report, sheet_of(*shares));
    const auto drift = drift_answer(reader, charts.values);
    if (!drift) return drift.error();
    if (!drift->places.empty()) add(report, sheet_of(*drift, 4));
    return {};
}

}  // namespace

journal::Stored<Report> quality_report(ledger::Reader& reader, const ReportWish& wish) {
    Report report;
    const auto lot = lot_of(reader, wish);
    if (!lot) return lot.error();
    report.title = *lot ? "Lot " + printable((*lot)->lot.name, 64) : "Quality report";
    fill_block(wish, *lot, report);
    if (*lot) {
        report.sheets.push_back(sheet_of(**lot));
        report.sheets.back().sentences.emplace_back(notation_words);
    }
    for (const auto part : {&add_yield, &add_capability, &add_charts}) {
        const auto added = part(reader, wish, report);
        if (!added) return added.error();
    }
    return report;
}

}  // namespace padtrim::answers
