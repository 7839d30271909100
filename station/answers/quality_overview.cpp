#include "station/answers/quality_overview.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/lot_sheet.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/yield_report.hpp"

namespace padtrim::answers {
namespace {

using OverviewObject = boost::json::object;
using record::Stage;

bool has_results(const record::LotCount& count) {
    return count.pass + count.fail + count.inconclusive + count.no_verdict > 0;
}

bool asked_for(const ledger::LotSummary& lot, const QualityWish& wish) {
    return lot.measure_only == wish.measure_only &&
           (!wish.station || lot.station == *wish.station) &&
           (!wish.product || lot.product == *wish.product) &&
           (!wish.recipe || lot.recipe == *wish.recipe);
}

// The lot that is told, and the one whose units are drawn: a lot that has none yet leaves those of
// the lot before it on the sheet.
struct LotsOfSheet {
    std::optional<std::string> told, drawn;
};
journal::Stored<LotsOfSheet> lots_of_sheet(ledger::Reader& reader, const QualityWish& wish) {
    if (wish.lot) return LotsOfSheet{wish.lot, wish.lot};
    const auto lots = reader.lots();
    if (!lots) return lots.error();
    LotsOfSheet of;
    for (const auto& lot : *lots) {
        if (!asked_for(lot, wish)) continue;
        if (!of.told) of.told = lot.name;
        if (!has_results(lot.count)) continue;
        of.drawn = lot.name;
        break;
    }
    if (!of.drawn) of.drawn = of.told;
    return of;
}

// A lot of a day would be more points than a small chart shows.
journal::Stored<ControlAnswer> newest_charts(ledger::Reader& reader, const QualityWish& wish) {
    ControlWish charts;
    charts.values = values_of(wish, Stage::as_found);
    const auto runs = wished_runs(reader, charts.values);
    if (!runs) return runs.error();
    if (runs->size() > newest_charted)
        charts.values.runs.since = (*runs)[runs->size() - newest_charted].started;
    return control_answer(reader, charts);
}

journal::Stored<YieldAnswer> yields_over_time(ledger::Reader& reader, QualityWish wish) {
    wish.lot = std::nullopt;
    constexpr std::size_t few_days = 3;
    auto answer = yield_answer(reader, wish, ledger::RollupBy::day);
    if (answer && answer->groups.size() <= few_days)
        answer = yield_answer(reader, wish, ledger::RollupBy::lot);
    if (!answer) return answer.error();
    auto& groups = answer->groups;
    if (groups.size() > newest_groups)
        groups.erase(groups.begin(), groups.end() - static_cast<std::ptrdiff_t>(newest_groups));
    return answer;
}

journal::Stored<std::optional<InDoubt>> doubt_about(ledger::Reader& reader, const LotReport& lot) {
    const auto newest = reader.shift_checks(lot.lot.station, lot.lot.fixture, 1);
    if (!newest) return newest.error();
    if (newest->empty() || newest->front().decision == record::CheckDecision::ready)
        return std::optional<InDoubt>();
    auto doubt = units_in_doubt(reader, lot.lot.station, lot.lot.fixture);
    if (!doubt) return doubt.error();
    return std::optional(std::move(*doubt));
}

// Signals that follow one another are one alarm: its cause lasts.
std::size_t alarms_of(const PlaceControl& place) {
    std::size_t alarms = 0;
    for (const auto& line : place.lines) {
        bool before = false;
        for (const auto& point : line.points) {
            alarms += !point.signal.empty() && !before ? 1 : 0;
            before = !point.signal.empty();
        }
    }
    return alarms;
}

// P(count or more) of a Poisson variable with this mean.
double poisson_tail(double mean, std::size_t count) {
    double term = std::exp(-mean), below = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        below += term;
        term *= mean / static_cast<double>(i + 1);
    }
    return 1.0 - below;
}

std::string units_words(std::size_t count) {
    return count == 1 ? "the unit" : "the " + std::to_string(count) + " units";
}

std::optional<NextAct> act_on_doubt(const std::optional<InDoubt>& doubt) {
    if (!doubt || !doubt->still_blocked) return std::nullopt;
    const std::string station = printable(doubt->station, 40);
    if (doubt->would_change() == 0)
        return NextAct{"Have station " + station + " mended: its shift check blocks it.",
                       "in doubt"};
    return NextAct{"Set " + units_words(doubt->would_change()) + " in doubt apart: station " +
                       station + " was found wrong.",
                   "in doubt"};
}

NextAct act_on_alarms(std::size_t count) {
    return {"Reply to " + (count == 1 ? "the alarm" : "the " + std::to_string(count) + " alarms") +
                " of frozen charts.",
            "alarms"};
}

std::optional<NextAct> act_on_charts(const ControlAnswer& charts) {
    for (const auto& place : charts.places) {
        if (!signals_more_than_chance(place, charts.places.size())) continue;
        return NextAct{"Look at the chart of " + place.words + ".", "chart", place.place};
    }
    return std::nullopt;
}

}  // namespace

bool signals_more_than_chance(const PlaceControl& place, std::size_t charts) {
    if (!place.run_length || place.lines.empty() || charts == 0) return false;
    const std::size_t alarms = alarms_of(place);
    if (alarms == 0) return false;
    const double by_chance =
        static_cast<double>(place.lines.front().points.size() * place.lines.size()) /
        *place.run_length;
    return poisson_tail(by_chance, alarms) < 0.01 / static_cast<double>(charts);
}

journal::Stored<OverviewAnswer> quality_overview(ledger::Reader& reader, const QualityWish& wish) {
    OverviewAnswer answer;
    QualityWish everywhere = wish;
    everywhere.lot = std::nullopt;
    const auto waiting = dispositions(reader, everywhere, dispositions_named("waiting"));
    if (!waiting) return waiting.error();
    answer.waiting = waiting->units.size();
    const auto alarms = reader.chart_alarms(true);
    if (!alarms) return alarms.error();
    answer.alarms = alarms->size();
    const auto lots = lots_of_sheet(reader, wish);
    if (!lots) return lots.error();
    if (!lots->told) return answer;
    auto lot = lot_report(reader, *lots->told);
    if (!lot) return lot.error();
    answer.lot = std::move(*lot);
    if (!answer.lot) return answer;
    answer.drawn_lot = *lots->drawn;
    QualityWish of_lot = wish;
    of_lot.lot = lots->drawn;
    of_lot.drafts =
        of_lot.drafts || answer.lot->lot.permission.kind == record::PermissionKind::draft;
    auto charts = newest_charts(reader, of_lot);
    if (!charts) return charts.error();
    answer.charts = std::move(*charts);
    auto failures = failure_map(reader, of_lot);
    if (!failures) return failures.error();
    answer.failures = std::move(*failures);
    auto yields = yields_over_time(reader, wish);
    if (!yields) return yields.error();
    answer.yields = std::move(*yields);
    auto doubt = doubt_about(reader, *answer.lot);
    if (!doubt) return doubt.error();
    answer.doubt = std::move(*doubt);
    return answer;
}

NextAct next_act(const OverviewAnswer& answer) {
    if (!answer.lot) return {"Run a lot: these records hold none that answers to that.", "nothing"};
    const auto& lot = answer.lot->lot;
    if (!lot.open && !balanced(lot.count))
        return {
            "Verify the records: the books of lot " + printable(lot.name, 64) + " do not balance.",
            "lot"};
    if (auto doubt = act_on_doubt(answer.doubt)) return *doubt;
    if (answer.waiting > 0)
        return {"Decide about " + units_words(answer.waiting) +
                    (answer.waiting == 1 ? " that waits." : " that wait."),
                "dispositions"};
    if (answer.alarms > 0) return act_on_alarms(answer.alarms);
    if (auto chart = act_on_charts(answer.charts)) return *chart;
    return {"Nothing to decide in lot " + printable(lot.name, 64) + ".", "nothing"};
}

Json to_json(const OverviewAnswer& answer) {
    const auto act = next_act(answer);
    OverviewObject next{{"sentence", act.sentence}, {"about", act.about}};
    next["check"] = act.place ? text(act.place->check) : Json(nullptr);
    next["key"] = act.place ? text(act.place->key) : Json(nullptr);
    return OverviewObject{{"next", std::move(next)},
                          {"lot", answer.lot ? to_json(*answer.lot) : Json(nullptr)},
                          {"drawn_lot", answer.lot ? text(answer.drawn_lot) : Json(nullptr)},
                          {"waiting", answer.waiting},
                          {"alarms", answer.alarms},
                          {"failures", to_json(answer.failures)},
                          {"yields", to_json(answer.yields)}};
}

Sheet sheet_of(const OverviewAnswer& answer) {
    Sheet sheet;
    if (!answer.lot) {
        sheet.title = "Quality";
        return sheet;
    }
    sheet = sheet_of(*answer.lot);
    if (answer.drawn_lot != answer.lot->lot.name)
        sheet.sentences.insert(sheet.sentences.begin(),
                               "No unit of lot " + printable(answer.lot->lot.name, 64) +
                                   " has a result yet: charts are of lot " +
                                   printable(answer.drawn_lot, 64) + ".");
    const Sheet charts = sheet_of(answer.charts, 0);
    if (!charts.panels.empty()) sheet.panels.push_back(charts.panels.front());
    if (answer.failures.plan) sheet.panels.push_back(panel_of(answer.failures));
    if (!answer.yields.groups.empty()) sheet.charts.push_back(yield_chart(answer.yields));
    return sheet;
}

}  // namespace padtrim::answers
