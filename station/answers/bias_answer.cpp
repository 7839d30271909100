#include "station/answers/bias_answer.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using BiasObject = boost::json::object;
constexpr double sure_change = 0.01;

// Method of moments; lots of unequal size count with the mean size that Searle gives for them.
double deviation_between(const statistics::OneWayAnova& anova,
                         const std::vector<std::vector<double>>& lots) {
    double all = 0.0, squares = 0.0;
    for (const auto& lot : lots) {
        const double size = static_cast<double>(lot.size());
        all += size;
        squares += size * size;
    }
    const double size = (all - squares / all) / (static_cast<double>(lots.size()) - 1.0);
    const double variance = (anova.between_mean_square - anova.within_mean_square) / size;
    return std::sqrt(std::max(0.0, variance));
}

void judge_stability(BiasPlace& place) {
    std::vector<std::vector<double>> lots;
    std::map<std::string, std::size_t> known;
    for (const auto& each : place.readings) {
        const auto [lot, fresh] = known.emplace(each.lot, lots.size());
        if (fresh) lots.emplace_back();
        lots[lot->second].push_back(each.reading - each.reference -
                                    place.bias->line.at(each.reference));
    }
    if (lots.size() < 2) return;
    const auto anova = statistics::one_way_anova(lots);
    if (!anova) return;
    place.between_lots = *anova;
    place.between_lots_deviation = deviation_between(*anova, lots);
}

double largest_of(const BiasPlace& place) {
    return place.bias ? std::abs(place.bias->largest_bias) : -1.0;
}

Json bias_json(const BiasPlace& place) {
    BiasObject json = members_of(place.place);
    json["readings"] = place.readings.size();
    json["flaw"] = place.flaw ? Json(statistics::text_of(*place.flaw)) : Json(nullptr);
    if (!place.bias) return json;
    const auto& bias = *place.bias;
    json["mean_bias"] = number(bias.mean_bias);
    json["largest_bias"] = number(bias.largest_bias);
    json["slope"] = number(bias.line.slope);
    json["offset"] = number(bias.line.intercept);
    json["scatter"] = number(std::sqrt(bias.line.residual_variance));
    json["slope_significance"] = number(bias.slope_significance);
    json["offset_significance"] = number(bias.offset_significance);
    json["lots_significance"] =
        place.between_lots ? number(place.between_lots->significance) : Json(nullptr);
    json["between_lots"] =
        place.between_lots ? number(place.between_lots_deviation) : Json(nullptr);
    return json;
}

std::string bias_words(const BiasPlace& place) {
    if (place.flaw == statistics::Flaw::equal_abscissae)
        return "all references are equal: no range (one reference is for --type-1)";
    if (place.flaw) return std::string(statistics::text_of(*place.flaw));
    std::string words =
        place.bias->slope_significance < sure_change ? "bias goes with the size" : "no slope told";
    if (!place.between_lots) return words + "; one lot, so stability is not known";
    return words + (place.between_lots->significance < sure_change ? "; changed between lots"
                                                                   : "; steady over the lots");
}

std::vector<TableCell> bias_row(const BiasPlace& place, const BiasAnswer& answer) {
    std::vector<TableCell> row = {place.place.check, where_of(place.place, answer.plan),
                                  count_cell(place.readings.size())};
    if (!place.bias) {
        row.insert(row.end(), 5, TableCell("-"));
    } else {
        row.push_back(number_cell(place.bias->mean_bias, 3));
        row.push_back(number_cell(place.bias->largest_bias, 3));
        row.push_back(number_cell(place.bias->line.slope, 3));
        row.push_back(number_cell(place.bias->line.intercept, 3));
        row.push_back(place.between_lots ? number_cell(place.between_lots_deviation, 3)
                                         : TableCell("-"));
    }
    row.emplace_back(bias_words(place));
    return row;
}

Table bias_table(const BiasAnswer& answer) {
    Table table{"Reading less reference, as a line over the reference",
                {{"check", "", false},
                 {"where", "", false},
                 {"readings", "", true},
                 {"mean bias", "", true},
                 {"largest of the line", "", true},
                 {"slope", "", true},
                 {"offset", "", true},
                 {"between lots", "", true},
                 {"", "", false}},
                {}};
    for (const auto& place : answer.places) table.rows.push_back(bias_row(place, answer));
    return table;
}

Chart biases_chart(const BiasPlace& place, const BiasAnswer& answer) {
    const std::string unit = place.place.measure == "1" ? "" : place.place.measure;
    Chart chart;
    chart.id = id_of("bias " + words_of(place.place, answer.plan));
    chart.title = words_of(place.place, answer.plan) + ": bias over the reference";
    chart.sentence = counted(place.readings.size(), "reading") + " and their line.";
    chart.x = {"reference", unit};
    chart.y = {"reading less reference", unit};
    chart.table = {chart.title,
                   {{"unit", "", false},
                    {"lot", "", false},
                    {"at", "", false},
                    {"reference", unit, true},
                    {"reading", unit, true},
                    {"bias", unit, true}},
                   {}};
    Series dots{"bias", Shape::points}, line{"line", Shape::line, Stroke::dashed};
    for (const auto& each : place.readings) {
        dots.dots.push_back({each.reference, each.reading - each.reference});
        chart.table.rows.push_back({each.unit, each.lot, iso_8601(each.at),
                                    number_cell(each.reference), number_cell(each.reading),
                                    number_cell(each.reading - each.reference, 3)});
    }
    const auto [low, high] =
        std::minmax_element(place.readings.begin(), place.readings.end(),
                            [](auto& a, auto& b) { return a.reference < b.reference; });
    for (const double x : {low->reference, high->reference})
        line.dots.push_back({x, place.bias->line.at(x)});
    chart.series = {std::move(dots), std::move(line)};
    chart.limits = {{"none", 0.0, LimitKind::centre}};
    return chart;
}

}  // namespace

BiasPlace bias_of(const ledger::CheckPlace& place, std::vector<ReferenceReading> readings) {
    BiasPlace result{place, std::move(readings), {}, {}, 0.0, {}};
    std::vector<double> references, values;
    for (const auto& each : result.readings) {
        references.push_back(each.reference);
        values.push_back(each.reading);
    }
    const auto bias = quality::bias_over_range(references, values);
    if (!bias) {
        result.flaw = bias.error();
        return result;
    }
    result.bias = *bias;
    judge_stability(result);
    return result;
}

journal::Stored<BiasAnswer> bias_answer(ledger::Reader& reader, const BiasWish& wish) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    BiasAnswer answer{series->plan, wish.references.size(), {}};
    for (const auto& one : series->places) {
        std::vector<ReferenceReading> readings;
        for (const auto& value : one.values) {
            const auto& run = series->runs[value.run];
            const std::string serial = run.serial.empty() ? run.label : run.serial;
            if (const auto reference = wish.references.of(serial, one.place.key))
                readings.push_back({printable(serial, 40), printable(run.lot_name, 40), run.started,
                                    *reference, value.value});
        }
        if (!readings.empty()) answer.places.push_back(bias_of(one.place, std::move(readings)));
    }
    std::stable_sort(answer.places.begin(), answer.places.end(),
                     [](const auto& a, const auto& b) { return largest_of(a) > largest_of(b); });
    return answer;
}

Json to_json(const BiasAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) places.push_back(bias_json(place));
    return BiasObject{{"references", answer.references}, {"places", std::move(places)}};
}

Sheet sheet_of(const BiasAnswer& answer) {
    Sheet sheet;
    sheet.title = "Bias over the range, and its stability";
    if (answer.places.empty())
        sheet.sentences.emplace_back(
            "No unit with a reference value was measured. Run those units with --measure-only, and "
            "check their serials in the file.");
    else
        sheet.sentences.emplace_back(
            "Stable: what the line leaves differs between lots by no more than a lot's readings "
            "scatter (analysis of variance, 1 %).");
    sheet.tables.push_back(bias_table(answer));
    for (const auto& place : answer.places) {
        if (!place.bias) continue;
        sheet.charts.push_back(biases_chart(place, answer));
        break;
    }
    return sheet;
}

}  // namespace padtrim::answers
