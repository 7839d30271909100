#include "station/answers/agreement_answer.hpp"

#include <algorithm>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using AgreementObject = boost::json::object;
constexpr double sure_difference = 0.01;

struct BothMeans {
    statistics::Moments a, b;
};

AgreementPlace agreement_of_place(const PlaceSeries& one, const ValueSeries& all,
                                  const AgreementWish& wish) {
    AgreementPlace place{one.place, {}, 0, {}, {}};
    std::vector<std::string> order;
    std::map<std::string, BothMeans> units;
    for (const auto& value : one.values) {
        const auto& run = all.runs[value.run];
        if (run.station != wish.a && run.station != wish.b) continue;
        const std::string serial = run.serial.empty() ? run.label : run.serial;
        const auto [unit, fresh] = units.try_emplace(serial);
        if (fresh) order.push_back(serial);
        (run.station == wish.a ? unit->second.a : unit->second.b).add(value.value);
    }
    std::vector<double> a, b;
    for (const auto& serial : order) {
        const auto& unit = units.at(serial);
        if (unit.a.count() == 0 || unit.b.count() == 0) {
            ++place.left_out;
            continue;
        }
        a.push_back(*unit.a.mean());
        b.push_back(*unit.b.mean());
        place.pairs.push_back({printable(serial, 40), a.back(), b.back()});
    }
    const auto agreement = quality::agreement_of(a, b);
    if (agreement)
        place.agreement = *agreement;
    else
        place.flaw = agreement.error();
    return place;
}

double surest(const AgreementPlace& place) {
    if (!place.agreement) return 2.0;
    return std::min(place.agreement->significance, place.agreement->trend_significance);
}

Json bounded_json(const quality::Bounded& bounded) {
    return AgreementObject{{"value", number(bounded.value)},
                           {"low", number(bounded.low)},
                           {"high", number(bounded.high)}};
}

Json agreement_json(const AgreementPlace& place, const AgreementWish& wish) {
    AgreementObject json = members_of(place.place);
    json["units"] = place.pairs.size();
    json["left_out"] = place.left_out;
    json["flaw"] = place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr);
    boost::json::array pairs;
    for (const auto& pair : place.pairs)
        pairs.push_back(AgreementObject{
            {"serial", text(pair.unit)}, {"a", number(pair.a)}, {"b", number(pair.b)}});
    json["pairs"] = std::move(pairs);
    if (!place.agreement) return json;
    const auto& found = *place.agreement;
    json["difference"] = bounded_json(found.difference);
    json["deviation"] = number(found.deviation);
    json["lower_limit"] = bounded_json(found.lower);
    json["upper_limit"] = bounded_json(found.upper);
    json["significance"] = number(found.significance);
    json["trend_significance"] = number(found.trend_significance);
    json["differ"] = place.differ();
    json["alike"] = wish.allowance ? Json(found.alike_within(*wish.allowance)) : Json(nullptr);
    return json;
}

// Not shown different is not shown alike.
std::string agreement_words(const AgreementPlace& place, const AgreementWish& wish) {
    if (place.flaw) return std::string(statistics::text_of(*place.flaw));
    const auto& found = *place.agreement;
    std::string words = found.significance < sure_difference ? "they differ" : "not told apart";
    if (found.trend_significance < sure_difference) words += ", by more or less with the size";
    if (!wish.allowance) return words;
    return words + (found.alike_within(*wish.allowance) ? "; alike" : "; not shown alike");
}

std::vector<TableCell> agreement_row(const AgreementPlace& place, const AgreementAnswer& answer) {
    std::vector<TableCell> row = {place.place.check, where_of(place.place, answer.plan),
                                  count_cell(place.pairs.size()), count_cell(place.left_out)};
    if (!place.agreement) {
        row.insert(row.end(), 3, TableCell("-"));
    } else {
        const auto& found = *place.agreement;
        const auto& mean = found.difference;
        row.push_back({fmt::format("{:.3g} ({:.3g} to {:.3g})", mean.value, mean.low, mean.high),
                       mean.value});
        row.push_back(number_cell(found.lower.value, 3));
        row.push_back(number_cell(found.upper.value, 3));
    }
    row.emplace_back(agreement_words(place, answer.wish));
    return row;
}

Table agreement_table(const AgreementAnswer& answer) {
    Table table{printable(answer.wish.a, 40) + " less " + printable(answer.wish.b, 40),
                {{"check", "", false},
                 {"where", "", false},
                 {"units", "", true},
                 {"left out", "", true},
                 {"difference, 95 % interval", "", true},
                 {"95 % above", "", true},
                 {"95 % below", "", true},
                 {"", "", false}},
                {}};
    for (const auto& place : answer.places) table.rows.push_back(agreement_row(place, answer));
    return table;
}

Chart differences_chart(const AgreementPlace& place, const AgreementAnswer& answer) {
    const std::string unit = place.place.measure == "1" ? "" : place.place.measure;
    Chart chart;
    chart.id = id_of("agreement " + words_of(place.place, answer.plan));
    chart.title = words_of(place.place, answer.plan) + ": differences by size";
    chart.sentence = "Between the dashed lines lie 95 % of the differences of single units.";
    chart.x = {"mean of both stations", unit};
    chart.y = {"difference", unit};
    chart.table = {chart.title,
                   {{"unit", "", false},
                    {printable(answer.wish.a, 40), unit, true},
                    {printable(answer.wish.b, 40), unit, true},
                    {"difference", unit, true}},
                   {}};
    Series dots{"difference", Shape::points};
    for (const auto& pair : place.pairs) {
        dots.dots.push_back({0.5 * (pair.a + pair.b), pair.a - pair.b});
        chart.table.rows.push_back(
            {pair.unit, number_cell(pair.a), number_cell(pair.b), number_cell(pair.a - pair.b, 3)});
    }
    chart.series.push_back(std::move(dots));
    chart.limits = {{"mean", place.agreement->difference.value, LimitKind::centre},
                    {"low", place.agreement->lower.value, LimitKind::control},
                    {"high", place.agreement->upper.value, LimitKind::control}};
    return chart;
}

}  // namespace

bool AgreementPlace::differ() const {
    return agreement && (agreement->significance < sure_difference ||
                         agreement->trend_significance < sure_difference);
}

journal::Stored<AgreementAnswer> agreement_answer(ledger::Reader& reader,
                                                  const AgreementWish& wish) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    AgreementAnswer answer{wish, series->plan, {}};
    for (const auto& one : series->places)
        answer.places.push_back(agreement_of_place(one, *series, wish));
    std::stable_sort(answer.places.begin(), answer.places.end(),
                     [](const auto& x, const auto& y) { return surest(x) < surest(y); });
    return answer;
}

Json to_json(const AgreementAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) places.push_back(agreement_json(place, answer.wish));
    return AgreementObject{
        {"a", text(answer.wish.a)},
        {"b", text(answer.wish.b)},
        {"allowance", answer.wish.allowance ? number(*answer.wish.allowance) : Json(nullptr)},
        {"places", std::move(places)}};
}

Sheet sheet_of(const AgreementAnswer& answer) {
    Sheet sheet;
    sheet.title = "Agreement of two stations";
    if (answer.places.empty())
        sheet.sentences.emplace_back(
            "No value answers to that. Run the same units with --measure-only on both stations.");
    else
        sheet.sentences.emplace_back(
            "Means of the readings of each unit. 95 % of single units differ by more than the one "
            "limit and by less than the other (Bland and Altman). Not told apart is not shown "
            "alike.");
    sheet.tables.push_back(agreement_table(answer));
    for (const auto& place : answer.places) {
        if (!place.agreement) continue;
        sheet.charts.push_back(differences_chart(place, answer));
        break;
    }
    return sheet;
}

}  // namespace padtrim::answers
