#include "station/answers/capability_answer.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/quality/names.hpp"
#include "station/answers/bins.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/panel_figures.hpp"

namespace padtrim::answers {
namespace {

using CapabilityObject = boost::json::object;

// Below this a process is called capable of little (common practice, no source).
constexpr double capable = 1.33;

// Of one lot each, in the order they came.
std::vector<statistics::Moments> by_lot(const PlaceSeries& series,
                                        const std::vector<ledger::RunSummary>& runs) {
    std::vector<record::LotId> lots;
    std::vector<std::vector<double>> values;
    for (const auto& value : series.values) {
        const auto lot = runs[value.run].lot;
        const auto at = std::find(lots.begin(), lots.end(), lot);
        const auto place = static_cast<std::size_t>(at - lots.begin());
        if (at == lots.end()) {
            lots.push_back(lot);
            values.emplace_back();
        }
        values[place].push_back(value.value);
    }
    return quality::moments_of(values);
}

// Single values, or a histogram of them.
template <class Values>
void judge(PlaceCapability& place, std::span<const statistics::Moments> subgroups,
           const Values& values) {
    const auto figures = quality::capability_figures(subgroups, values, place.limits, 0.95, {});
    if (figures)
        place.figures = *figures;
    else
        place.flaw = figures.error();
}

bool any(const quality::SpecLimits& limits) {
    return limits.low || limits.high;
}

void set_limits(PlaceCapability& place, const quality::SpecLimits& in_force, bool changed,
                const quality::SpecLimits& as_if) {
    place.limits = any(as_if) ? as_if : in_force;
    place.limits_changed = changed && !any(as_if);
}

PlaceCapability capability_of(const PlaceSeries& series,
                              const std::vector<ledger::RunSummary>& runs,
                              const quality::SpecLimits& as_if) {
    PlaceCapability place;
    place.place = series.place;
    set_limits(place, {series.low, series.high}, series.limits_changed, as_if);
    const auto values = series.numbers();
    place.moments = statistics::Moments::of(values);
    place.bins = bins_of(values);
    if (any(as_if)) place.outside.emplace().add(values, as_if);
    judge(place, by_lot(series, runs), values);
    return place;
}

PlaceCapability capability_of(const ledger::ValueRollup& whole,
                              std::span<const ledger::ValueRollup> days,
                              const quality::SpecLimits& as_if) {
    PlaceCapability place;
    place.place = whole.place;
    set_limits(place, {whole.low, whole.high}, whole.limits_changed, as_if);
    place.moments = whole.moments;
    place.bins = bins_of(whole.histogram);
    std::vector<statistics::Moments> subgroups;
    for (const auto& day : days)
        if (day.place == whole.place) subgroups.push_back(day.moments);
    judge(place, subgroups, whole.histogram);
    return place;
}

journal::Stored<void> fill_from_values(ledger::Reader& reader, const QualityWish& wish,
                                       CapabilityAnswer& answer) {
    const auto series = value_series(reader, values_of(wish, answer.stage));
    if (!series) return series.error();
    answer.units = series->runs.size();
    answer.plan = series->plan;
    for (const auto& place : series->places)
        if (any(answer.as_if) || place.low || place.high)
            answer.places.push_back(capability_of(place, series->runs, answer.as_if));
    return {};
}

journal::Stored<void> count_outside(ledger::Reader& reader, const ledger::RollupFilter& filter,
                                    const ledger::PlaceFilter& places, CapabilityAnswer& answer) {
    const auto counts = outside_counts(reader, filter, places, answer.as_if);
    if (!counts) return counts.error();
    for (auto& place : answer.places)
        for (const auto& counted : *counts)
            if (counted.place == place.place) place.outside = counted.count;
    return {};
}

journal::Stored<void> fill_from_rollups(ledger::Reader& reader, const QualityWish& wish,
                                        CapabilityAnswer& answer) {
    ledger::RollupReader rollups(reader);
    const auto filter = rollups_of(wish);
    const auto places = places_of(wish, answer.stage);
    const auto whole =
        rollups.values(filter, places, ledger::RollupBy::everything, ledger::WithHistogram::yes);
    if (!whole) return whole.error();
    const auto days =
        rollups.values(filter, places, ledger::RollupBy::day, ledger::WithHistogram::no);
    if (!days) return days.error();
    for (const auto& place : *whole)
        if (any(answer.as_if) || place.low || place.high)
            answer.places.push_back(capability_of(place, *days, answer.as_if));
    if (any(answer.as_if))
        if (const auto counted = count_outside(reader, filter, places, answer); !counted)
            return counted.error();
    auto plan = plan_of_wish(reader, wish);
    if (!plan) return plan.error();
    answer.plan = std::move(*plan);
    return {};
}

double nearest_of(const PlaceCapability& place) {
    return place.figures ? place.figures->performance.nearest.value
                         : std::numeric_limits<double>::infinity();
}

Json index_json(const std::optional<quality::Index>& index) {
    if (!index) return nullptr;
    return CapabilityObject{{"value", number(index->value)},
                            {"low", index->low ? number(*index->low) : Json(nullptr)},
                            {"high", index->high ? number(*index->high) : Json(nullptr)}};
}

std::string index_text(const quality::Index& index) {
    if (!index.low || !index.high) return fmt::format("{:.2f}", index.value);
    return fmt::format("{:.2f} ({:.2f} to {:.2f})", index.value, *index.low, *index.high);
}

TableCell index_cell(const std::optional<quality::Index>& index) {
    if (!index) return {"-"};
    return {index_text(*index), index->value};
}

// Counts that are always the same: nothing scatters, so there is nothing to model.
bool constant(const PlaceCapability& place) {
    return place.flaw == statistics::Flaw::not_positive && place.moments.count() > 1;
}

std::string model_words(const PlaceCapability& place) {
    if (place.flaw == statistics::Flaw::too_few_points && place.moments.count() > 30)
        return "none: not normal, and percentiles need 1000 values";
    if (constant(place)) return "-";
    if (place.flaw) return "none: " + std::string(statistics::text_of(*place.flaw));
    std::string words(quality::name_of(place.figures->model));
    if (place.limits_changed) words += "; limits changed, the newest count";
    return words;
}

TableCell outside_cell(const PlaceCapability& place) {
    if (!place.outside) return {"-"};
    return {fmt::format("{} below, {} above", place.outside->below, place.outside->above)};
}

Table table_of(const CapabilityAnswer& answer) {
    Table table;
    table.title = "Capability, " + std::string(record::name_of(answer.stage));
    table.columns = {{"check", "", false},
                     {"where", "", false},
                     {"units", "", true},
                     {"mean", "", true},
                     {"deviation", "", true},
                     {"allowed", "", false},
                     {answer.from_rollups ? "Cpk within days" : "Cpk within lots", "", true},
                     {"Ppk, 95 % interval", "", true},
                     {"outside", "ppm", true},
                     {"model", "", false}};
    if (any(answer.as_if)) table.columns.push_back({"values outside", "", false});
    for (const auto& place : answer.places) {
        const auto mean = place.moments.mean();
        const auto deviation = place.moments.standard_deviation();
        const auto* figures = place.figures ? &*place.figures : nullptr;
        table.rows.push_back(
            {place.place.check, where_of(place.place, answer.plan),
             count_cell(place.moments.count()), mean ? number_cell(*mean) : TableCell("-"),
             deviation ? number_cell(*deviation, 3) : TableCell("-"),
             allowed(place.limits.low, place.limits.high) + unit_after(place.place.measure),
             index_cell(figures && figures->capability ? std::optional(figures->capability->nearest)
                                                       : std::nullopt),
             index_cell(figures ? std::optional(figures->performance.nearest) : std::nullopt),
             figures ? ppm_cell(1e6 * figures->performance.outside) : TableCell("-"),
             model_words(place)});
        if (any(answer.as_if)) table.rows.back().push_back(outside_cell(place));
    }
    return table;
}

// The least index of each key, by hatching and number.
PanelFigure panel_of_check(const CapabilityAnswer& answer, const std::string& check) {
    auto figure = panel_of(answer.plan, id_of("capability " + check), "Ppk of " + check);
    figure.sentence =
        "The least Ppk of each key; the denser the hatching, the less. Broken outline: below 1.33. "
        "Dotted: no index.";
    figure.table = {check, {{"key", "", false}, {"least Ppk", "", true}}, {}};
    for (auto& place : figure.places) place.outline = Stroke::dotted;
    for (const auto& each : answer.places) {
        if (each.place.check != check || !each.figures) continue;
        PanelPlace* place = place_of(figure, each.place.key);
        if (place == nullptr || !place->value.empty()) continue;  // the worst comes first
        const double least = nearest_of(each);
        place->value = fmt::format("{:.2f}", least);
        place->detail = words_of(each.place, answer.plan) + ": Ppk " +
                        index_text(each.figures->performance.nearest);
        place->tone = std::clamp((2.0 - least) / 2.0, 0.0, 1.0);
        place->outline = least < capable ? Stroke::dashed : Stroke::continuous;
        figure.table.rows.push_back({place->key, number_cell(least, 3)});
    }
    return figure;
}

std::vector<std::string> checks_on_keys(const CapabilityAnswer& answer) {
    std::vector<std::string> checks;
    for (const auto& place : answer.places)
        if (!place.place.key.empty() && place.figures &&
            std::find(checks.begin(), checks.end(), place.place.check) == checks.end())
            checks.push_back(place.place.check);
    return checks;
}

}  // namespace

journal::Stored<CapabilityAnswer> capability_answer(ledger::Reader& reader, const QualityWish& wish,
                                                    record::Stage stage, std::uint64_t single_units,
                                                    const quality::SpecLimits& as_if) {
    CapabilityAnswer answer;
    answer.as_if = as_if;
    answer.stage = stage;
    const auto counted =
        ledger::RollupReader(reader).units(rollups_of(wish), ledger::RollupBy::everything);
    if (!counted) return counted.error();
    answer.units = counted->empty() ? 0 : counted->front().counts.yield.units;
    answer.from_rollups = answer.units > single_units;
    if (answer.from_rollups) answer.days = whole_days_words(wish);
    const auto filled = answer.from_rollups ? fill_from_rollups(reader, wish, answer)
                                            : fill_from_values(reader, wish, answer);
    if (!filled) return filled.error();
    std::stable_sort(answer.places.begin(), answer.places.end(),
                     [](const auto& a, const auto& b) { return nearest_of(a) < nearest_of(b); });
    return answer;
}

Chart histogram_of(const PlaceCapability& place, const language::PlanPtr& plan) {
    Chart chart;
    const std::string words = words_of(place.place, plan);
    chart.id = id_of("histogram " + place.place.step + " " + words);
    chart.title = words + ", " + std::string(record::name_of(place.place.stage));
    chart.sentence =
        place.figures
            ? fmt::format("{} of {}: Ppk {}, {} model.", counted(place.moments.count(), "value"),
                          place.place.check, index_text(place.figures->performance.nearest),
                          quality::name_of(place.figures->model))
            : counted(place.moments.count(), "value") +
                  (constant(place) ? std::string(", all equal")
                   : place.flaw    ? ", model " + model_words(place)
                                   : std::string()) +
                  ".";
    chart.sentence += place.limits.low || place.limits.high
                          ? " Limits: " + allowed(place.limits.low, place.limits.high) + "."
                          : " Without limits.";
    chart.x = {place.place.check, place.place.measure == "1" ? "" : place.place.measure};
    chart.y = {"units", "", Scale::number, {}, 0.0, {}};
    chart.table = {
        chart.title, {{"middle of the bin", place.place.measure, true}, {"units", "", true}}, {}};
    Series bars{"units", Shape::bars};
    for (const auto& bin : place.bins) {
        bars.dots.push_back({bin.centre, bin.count});
        chart.table.rows.push_back({number_cell(bin.centre), number_cell(bin.count, 10)});
    }
    chart.series.push_back(std::move(bars));
    if (place.limits.low)
        chart.limits.push_back({"low", *place.limits.low, LimitKind::specification, true});
    if (place.limits.high)
        chart.limits.push_back({"high", *place.limits.high, LimitKind::specification, true});
    if (const auto mean = place.moments.mean())
        chart.limits.push_back({"mean", *mean, LimitKind::centre, true});
    return chart;
}

Json to_json(const CapabilityAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) {
        const auto* figures = place.figures ? &*place.figures : nullptr;
        const auto* within = figures && figures->capability ? &*figures->capability : nullptr;
        const auto mean = place.moments.mean();
        const auto deviation = place.moments.standard_deviation();
        CapabilityObject json = members_of(place.place);
        const CapabilityObject figures_of_it{
            {"low", place.limits.low ? number(*place.limits.low) : Json(nullptr)},
            {"high", place.limits.high ? number(*place.limits.high) : Json(nullptr)},
            {"limits_changed", place.limits_changed},
            {"values", place.moments.count()},
            {"mean", mean ? number(*mean) : Json(nullptr)},
            {"standard_deviation", deviation ? number(*deviation) : Json(nullptr)},
            {"model", figures ? Json(quality::name_of(figures->model)) : Json(nullptr)},
            {"flaw", place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr)},
            {"cp", within ? index_json(within->spread) : Json(nullptr)},
            {"cpk", within ? index_json(within->nearest) : Json(nullptr)},
            {"pp", figures ? index_json(figures->performance.spread) : Json(nullptr)},
            {"ppk", figures ? index_json(figures->performance.nearest) : Json(nullptr)},
            {"outside", figures ? number(figures->performance.outside) : Json(nullptr)},
            {"below", place.outside ? Json(place.outside->below) : Json(nullptr)},
            {"above", place.outside ? Json(place.outside->above) : Json(nullptr)}};
        json.insert(figures_of_it.begin(), figures_of_it.end());
        places.push_back(std::move(json));
    }
    return CapabilityObject{{"stage", record::name_of(answer.stage)},
                            {"units", answer.units},
                            {"subgroups", answer.from_rollups ? "days" : "lots"},
                            {"places", std::move(places)}};
}

Sheet sheet_of(const CapabilityAnswer& answer, std::size_t charts) {
    Sheet sheet;
    const bool left = answer.stage == record::Stage::as_left;
    sheet.title = left ? "Capability as left: the station" : "Capability as found: the product";
    sheet.sentences.push_back(
        "First tries, one for each unit of each lot: " + std::to_string(answer.units) +
        ". Cpk is of the scatter within " + (answer.from_rollups ? "days" : "lots") +
        ", Ppk of all values (ISO 22514-2); worst first.");
    if (!answer.days.empty()) sheet.sentences.push_back(answer.days);
    if (std::any_of(answer.places.begin(), answer.places.end(),
                    [&](const auto& place) { return place.moments.count() < answer.units; }))
        sheet.sentences.emplace_back(
            "A place has fewer values than units where a run ended before its check, or got no "
            "value there.");
    if (std::any_of(answer.places.begin(), answer.places.end(), constant))
        sheet.sentences.emplace_back(
            "Model \"-\": all values are equal, there is no scatter to model.");
    if (any(answer.as_if))
        sheet.sentences.push_back("As if the limits were " +
                                  allowed(answer.as_if.low, answer.as_if.high) +
                                  "; values outside are counted one by one.");
    if (answer.places.empty()) {
        sheet.sentences.emplace_back("No check with a limit has values for that.");
        sheet.tables.push_back(table_of(answer));
        return sheet;
    }
    for (const auto& check : checks_on_keys(answer))
        sheet.panels.push_back(panel_of_check(answer, check));
    sheet.tables.push_back(table_of(answer));
    for (const auto& place : answer.places) {
        if (sheet.charts.size() == charts) break;
        sheet.charts.push_back(histogram_of(place, answer.plan));
    }
    return sheet;
}

}  // namespace padtrim::answers
