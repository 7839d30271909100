#include "station/answers/drift_answer.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/quality/names.hpp"
#include "station/answers/day_means.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using DriftObject = boost::json::object;
constexpr std::size_t drift_checks = 5000;

MeanPoint mean_point(std::string label, record::WallTime at, const statistics::Moments& sums) {
    MeanPoint point{std::move(label), at, sums.mean().value(), 0.0, sums.count()};
    if (const auto deviation = sums.standard_deviation())
        point.standard = *deviation / std::sqrt(static_cast<double>(point.units));
    return point;
}

std::vector<MeanPoint> lot_means(const PlaceSeries& series,
                                 const std::vector<ledger::RunSummary>& runs) {
    std::vector<record::LotId> order;
    std::vector<statistics::Moments> sums;
    std::vector<const ledger::RunSummary*> firsts;
    for (const auto& value : series.values) {
        const auto& run = runs[value.run];
        const auto at = std::find(order.begin(), order.end(), run.lot);
        const auto place = static_cast<std::size_t>(at - order.begin());
        if (at == order.end()) {
            order.push_back(run.lot);
            sums.emplace_back();
            firsts.push_back(&run);
        }
        sums[place].add(value.value);
    }
    std::vector<MeanPoint> points;
    for (std::size_t i = 0; i < order.size(); ++i)
        points.push_back(
            mean_point(printable(firsts[i]->lot_name, 40), firsts[i]->started, sums[i]));
    return points;
}

// Means over the nests of one standard, oldest first.
struct StandardSeries {
    std::vector<double> baseline, recent;
};
using ByStandard = std::map<std::string, StandardSeries>;

bool same_place(const record::ChartPlace& chart, const ledger::CheckPlace& place) {
    return chart.check == place.check && chart.key == place.key && chart.channel == place.channel &&
           chart.frequency == place.frequency;
}

bool learns(const record::ShiftCheck& check, const ledger::CheckPlace& place) {
    return std::any_of(check.points.begin(), check.points.end(), [&](const auto& point) {
        return same_place(point.place, place) && point.state == record::ChartState::learning;
    });
}

// The baseline's last check ends it for all standards. Charts with stated limits learn nothing:
// as many checks as a chart would learn from are their baseline.
std::optional<StationDrift> station_drift(const std::vector<record::ShiftCheck>& oldest_first,
                                          const PlaceDrift& product, double risk) {
    ByStandard series;
    StationDrift drift;
    const bool learnt =
        std::any_of(oldest_first.begin(), oldest_first.end(),
                    [&](const auto& check) { return learns(check, product.place); });
    for (std::size_t i = 0; i < oldest_first.size(); ++i) {
        const auto& check = oldest_first[i];
        const bool learning = learnt ? learns(check, product.place) : i < check.baseline;
        if (learning) drift.since = check.at;
        std::map<std::string, statistics::Moments> means;
        for (const auto& point : check.points)
            if (same_place(point.place, product.place)) means[point.place.serial].add(point.value);
        for (const auto& [serial, mean] : means) {
            auto& one = series[serial];
            (learning ? one.baseline : one.recent).push_back(*mean.mean());
        }
    }
    if (series.empty()) return std::nullopt;
    for (const auto& [standard, values] : series) {
        auto change = quality::change_of(printable(standard, 40), values.baseline, values.recent);
        if (change)
            drift.standards.push_back(std::move(*change));
        else
            drift.flaw = change.error();
    }
    const auto shared = quality::shared_change(drift.standards, risk);
    if (!shared) {
        if (!drift.flaw) drift.flaw = shared.error();
        return drift;
    }
    drift.shared = *shared;
    std::vector<double> before, after;
    for (const auto& point : product.points)
        (point.at <= drift.since ? before : after).push_back(point.mean);
    const auto change = quality::change_of("product", before, after);
    if (!change) return drift;
    if (const auto own = quality::product_change(*change, *shared, risk)) drift.product = *own;
    return drift;
}

bool wanders(const PlaceDrift& place, double risk) {
    return place.wander && place.wander->significance < risk;
}

int importance(const PlaceDrift& place, double risk) {
    const bool drifts = place.finding && place.finding->kind != quality::Drift::not_distinguishable;
    const bool station = place.station && place.station->shared &&
                         place.station->shared->whose != quality::Whose::not_distinguishable;
    return (drifts ? 4 : 0) + (station ? 2 : 0) + (wanders(place, risk) ? 1 : 0);
}

std::string_view point_words(bool by_day) {
    return by_day ? "day" : "lot";
}

std::string step_words(const PlaceDrift& place, bool by_day) {
    const auto& step = place.finding->step;
    return fmt::format("a step of {:.4g} at {}{}", step.size(), by_day ? "" : "lot ",
                       place.points[step.at].label);
}

std::string finding_words(const PlaceDrift& place, bool by_day, double risk) {
    const auto point = point_words(by_day);
    if (place.flaw == statistics::Flaw::too_few_points)
        return fmt::format("too few {}s to tell: 8 are needed", point);
    if (place.flaw) return std::string(statistics::text_of(*place.flaw));
    switch (place.finding->kind) {
        case quality::Drift::step:
            return step_words(place, by_day);
        case quality::Drift::trend:
            return fmt::format("a trend of {:.3g} a {}", place.finding->trend.slope, point);
        case quality::Drift::step_or_trend:
            return step_words(place, by_day) +
                   fmt::format(", or a trend of {:.3g} a {}", place.finding->trend.slope, point);
        default:
            if (wanders(place, risk))
                return fmt::format(
                    "wanders: {}s differ {:.2g} times as much as the scatter within them explains; "
                    "neither a step nor a trend stands out",
                    point, place.wander->ratio);
            return "no drift that could be told";
    }
}

std::string station_words(const PlaceDrift& place) {
    if (!place.station) return "no check standard";
    if (!place.station->shared) return "too few standards or checks";
    const auto& shared = *place.station->shared;
    std::string words = fmt::format("{} ({})", quality::name_of(shared.whose),
                                    concise(shared.value, shared.standard));
    if (shared.apart) words += ": " + printable(*shared.apart, 60);
    if (place.station->product && place.station->product->distinguishable)
        words += fmt::format("; product beyond it {:.3g}", place.station->product->value);
    return words;
}

Chart chart_of_place(const PlaceDrift& place, const DriftAnswer& answer) {
    Chart chart;
    const std::string words = words_of(place.place, answer.plan);
    const std::string point_is(point_words(answer.by_day));
    const std::string unit = place.place.measure == "1" ? "" : place.place.measure;
    chart.id = id_of("drift " + words);
    chart.title =
        words + ", " + std::string(record::name_of(place.place.stage)) + ", by " + point_is;
    chart.sentence = "Means with their standard uncertainty: " +
                     finding_words(place, answer.by_day, answer.risk) + ".";
    chart.x = {point_is, "", Scale::order, {}};
    chart.y = {place.place.check, unit};
    chart.table = {chart.title,
                   {{point_is, "", false},
                    {"begun", "", false},
                    {"units", "", true},
                    {"mean", unit, true},
                    {"standard uncertainty", unit, true}},
                   {}};
    Series means{"mean of a " + point_is, Shape::intervals};
    for (std::size_t i = 0; i < place.points.size(); ++i) {
        const auto& point = place.points[i];
        chart.x.names.push_back(point.label);
        means.dots.push_back({static_cast<double>(i), point.mean, point.mean - point.standard,
                              point.mean + point.standard});
        chart.table.rows.push_back({point.label, iso_8601(point.at), count_cell(point.units),
                                    number_cell(point.mean), number_cell(point.standard, 2)});
    }
    chart.series.push_back(std::move(means));
    if (!place.finding || place.points.empty()) return chart;
    const auto kind = place.finding->kind;
    const auto last = static_cast<double>(place.points.size() - 1);
    if (kind == quality::Drift::step || kind == quality::Drift::step_or_trend) {
        const auto& step = place.finding->step;
        const auto at = static_cast<double>(step.at);
        chart.series.push_back({"levels of a step",
                                Shape::line,
                                Stroke::dashed,
                                {{0.0, step.before},
                                 {at - 0.5, step.before},
                                 {at - 0.5, step.after},
                                 {last, step.after}}});
    }
    return chart;
}

Json change_json(const quality::ChangeOf& change) {
    return DriftObject{{"standard", text(change.name)},
                       {"change", number(change.value)},
                       {"standard_uncertainty", number(change.standard)},
                       {"degrees_of_freedom", number(change.degrees)}};
}

Json station_json(const StationDrift& drift) {
    boost::json::array standards;
    for (const auto& change : drift.standards) standards.push_back(change_json(change));
    DriftObject json{{"since", iso_8601(drift.since)}, {"standards", std::move(standards)}};
    if (drift.shared) {
        json["whose"] = quality::name_of(drift.shared->whose);
        json["consistent"] = drift.shared->consistent;
        json["change"] = number(drift.shared->value);
        json["standard_uncertainty"] = number(drift.shared->standard);
        json["significance"] = number(drift.shared->significance);
        json["consistency"] = number(drift.shared->consistency);
        json["apart"] = drift.shared->apart ? text(*drift.shared->apart) : Json(nullptr);
    }
    if (drift.product)
        json["product"] = DriftObject{{"change", number(drift.product->value)},
                                      {"standard_uncertainty", number(drift.product->standard)},
                                      {"significance", number(drift.product->significance)},
                                      {"distinguishable", drift.product->distinguishable}};
    if (drift.flaw) json["flaw"] = statistics::text_of(*drift.flaw);
    return json;
}

Json finding_json(const PlaceDrift& place) {
    if (!place.finding) return nullptr;
    const auto& finding = *place.finding;
    return DriftObject{
        {"kind", quality::name_of(finding.kind)},
        {"step", DriftObject{{"point", text(place.points[finding.step.at].label)},
                             {"before", number(finding.step.before)},
                             {"after", number(finding.step.after)},
                             {"standard_uncertainty", number(finding.step.standard)},
                             {"significance", number(finding.step.significance)}}},
        {"trend", DriftObject{{"slope_a_point", number(finding.trend.slope)},
                              {"standard_uncertainty", number(finding.trend.standard)},
                              {"significance", number(finding.trend.significance)}}}};
}

statistics::Checked<quality::Wander> wander_in(const std::vector<MeanPoint>& points) {
    std::vector<double> means, standards;
    for (const auto& point : points) {
        means.push_back(point.mean);
        standards.push_back(point.standard);
    }
    return quality::wander_of(means, standards);
}

journal::Stored<void> fill_by_lot(ledger::Reader& reader, const ValueWish& wish,
                                  DriftAnswer& answer) {
    const auto series = value_series(reader, wish);
    if (!series) return series.error();
    answer.plan = series->plan;
    if (!series->runs.empty()) {
        answer.station = series->runs.back().station;
        answer.fixture = series->runs.back().fixture;
    }
    for (const auto& one : series->places)
        answer.places.push_back({one.place, lot_means(one, series->runs), {}, {}, {}, {}});
    return {};
}

journal::Stored<void> fill_by_day(ledger::Reader& reader, const ValueWish& wish,
                                  DriftAnswer& answer) {
    const auto series = day_series(reader, wish);
    if (!series) return series.error();
    answer.plan = series->plan;
    if (series->newest) {
        answer.station = series->newest->station;
        answer.fixture = series->newest->fixture;
    }
    for (const auto& one : series->places) {
        PlaceDrift place{one.place, {}, {}, {}, {}, {}};
        for (const auto& day : one.days)
            place.points.push_back(mean_point(day_words(day.day), day.day, day.moments));
        answer.places.push_back(std::move(place));
    }
    return {};
}

}  // namespace

journal::Stored<DriftAnswer> drift_answer(ledger::Reader& reader, const ValueWish& wish,
                                          double risk) {
    DriftAnswer answer;
    answer.risk = risk;
    const auto many = too_many_units(reader, wish);
    if (!many) return many.error();
    answer.by_day = *many;
    const auto filled =
        *many ? fill_by_day(reader, wish, answer) : fill_by_lot(reader, wish, answer);
    if (!filled) return filled.error();
    auto checks = reader.shift_checks_since_restart(answer.station, answer.fixture, drift_checks);
    if (!checks) return checks.error();
    std::reverse(checks->begin(), checks->end());
    for (auto& place : answer.places) {
        std::vector<double> means;
        for (const auto& point : place.points) means.push_back(point.mean);
        const auto finding = quality::drift_of(means, risk);
        if (finding)
            place.finding = *finding;
        else
            place.flaw = finding.error();
        if (auto wander = wander_in(place.points)) place.wander = *wander;
        place.station = station_drift(*checks, place, risk);
    }
    std::stable_sort(
        answer.places.begin(), answer.places.end(),
        [risk](const auto& a, const auto& b) { return importance(a, risk) > importance(b, risk); });
    auto channels = channel_findings(reader, wish, *checks, answer.plan, risk);
    if (!channels) return channels.error();
    answer.channels = std::move(*channels);
    return answer;
}

Json to_json(const DriftAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) {
        boost::json::array points;
        for (const auto& point : place.points)
            points.push_back(DriftObject{{"label", text(point.label)},
                                         {"at", iso_8601(point.at)},
                                         {"units", point.units},
                                         {"mean", number(point.mean)},
                                         {"standard_uncertainty", number(point.standard)}});
        DriftObject json = members_of(place.place);
        json["points"] = std::move(points);
        json["finding"] = finding_json(place);
        json["wander"] =
            place.wander ? Json(DriftObject{{"ratio", number(place.wander->ratio)},
                                            {"significance", number(place.wander->significance)}})
                         : Json(nullptr);
        json["flaw"] = place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr);
        json["station"] = place.station ? station_json(*place.station) : Json(nullptr);
        places.push_back(std::move(json));
    }
    boost::json::array channels;
    for (const auto& finding : answer.channels) channels.push_back(to_json(finding));
    return DriftObject{{"risk", number(answer.risk)},
                       {"points_are", answer.by_day ? "days" : "lots"},
                       {"station", text(answer.station)},
                       {"channels", std::move(channels)},
                       {"places", std::move(places)}};
}

Sheet sheet_of(const DriftAnswer& answer, std::size_t charts) {
    Sheet sheet;
    sheet.title = "Drift of product and station";
    sheet.sentences.push_back(
        fmt::format("Means of {}s, each unit by its first try; a step or a trend is told at a "
                    "risk of {:g}. What check standards of station {} share is the station's.",
                    point_words(answer.by_day), answer.risk, printable(answer.station, 40)));
    Table table{"",
                {{"check", "", false},
                 {"where", "", false},
                 {answer.by_day ? "days" : "lots", "", true},
                 {"product", "", false},
                 {"station, by its check standards", "", false}},
                {}};
    for (const auto& place : answer.places)
        table.rows.push_back(
            {place.place.check, where_of(place.place, answer.plan), count_cell(place.points.size()),
             finding_words(place, answer.by_day, answer.risk), station_words(place)});
    if (answer.places.empty()) sheet.sentences.emplace_back("No stored value answers to that.");
    sheet.tables.push_back(std::move(table));
    if (!answer.channels.empty()) sheet.tables.push_back(causes_table(answer.channels));
    for (const auto& place : answer.places) {
        if (sheet.charts.size() == charts) break;
        sheet.charts.push_back(chart_of_place(place, answer));
    }
    return sheet;
}

}  // namespace padtrim::answers
