// A gauge study as JSON, tables and figures.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/gauge_answer.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using GaugeObject = boost::json::object;

Json component_json(const quality::Component& component) {
    GaugeObject json{{"deviation", number(component.deviation())}};
    if (component.interval) {
        json["low"] = number(std::sqrt(std::max(component.interval->low, 0.0)));
        json["high"] = number(std::sqrt(std::max(component.interval->high, 0.0)));
    }
    return json;
}

Json study_json(const quality::GaugeStudy& study) {
    return GaugeObject{{"interaction_pooled", study.interaction_pooled},
                       {"repeatability", component_json(study.repeatability)},
                       {"appraisers", component_json(study.appraiser)},
                       {"interaction", component_json(study.interaction)},
                       {"measuring", component_json(study.gauge)},
                       {"units", component_json(study.part)},
                       {"total", component_json(study.total)},
                       {"distinct_categories", study.distinct_categories()},
                       {"share_of_study", number(study.share_of_study(study.gauge))}};
}

Json fit_json(const std::optional<quality::FitForTolerance>& fit) {
    if (!fit) return nullptr;
    return GaugeObject{{"standard_uncertainty", number(fit->standard)},
                       {"expanded_uncertainty", number(fit->expanded)},
                       {"share_of_tolerance", number(fit->q)},
                       {"smallest_tolerance", number(fit->smallest_tolerance)},
                       {"fit", fit->fit}};
}

Json flaw_json(const std::optional<statistics::Flaw>& flaw) {
    return flaw ? Json(statistics::text_of(*flaw)) : Json(nullptr);
}

Json crossed_json(const CrossedPlace& place) {
    return GaugeObject{{"units", place.study.parts},
                       {"appraisers", place.study.appraisers},
                       {"repetitions", place.study.trials},
                       {"left_out", place.left_out},
                       {"by_anova", place.anova ? study_json(*place.anova) : Json(nullptr)},
                       {"by_range", place.range ? study_json(place.range->study) : Json(nullptr)},
                       {"tolerance", place.tolerance ? number(*place.tolerance) : Json(nullptr)},
                       {"iso_22514_7", fit_json(place.fit)},
                       {"flaw", flaw_json(place.flaw)}};
}

Json type_1_json(const Type1Place& place) {
    GaugeObject json{{"unit", text(place.unit)},
                     {"readings", place.readings.size()},
                     {"problem", text(place.problem)},
                     {"iso_22514_7", fit_json(place.fit)},
                     {"flaw", flaw_json(place.flaw)}};
    if (!place.study) return json;
    json["mean"] = number(place.study->mean);
    json["deviation"] = number(place.study->deviation);
    json["bias"] = number(place.study->bias);
    json["bias_low"] = number(place.study->bias_low);
    json["bias_high"] = number(place.study->bias_high);
    json["cg"] = number(place.study->cg.value);
    json["cgk"] = number(place.study->cgk.value);
    return json;
}

std::string fit_words(const std::optional<quality::FitForTolerance>& fit) {
    if (!fit) return "-";
    return fit->fit ? "fit" : fmt::format("not fit: needs {:.3g}", fit->smallest_tolerance);
}

TableCell deviation_cell(const quality::Component& component) {
    return number_cell(component.deviation(), 3);
}

std::string why_none(const CrossedPlace& place) {
    if (place.flaw == statistics::Flaw::too_few_points)
        return fmt::format("{}, {}, {} of each: 2 of all are needed, each unit by every appraiser",
                           counted(place.study.parts, "whole unit"),
                           counted(place.study.appraisers, "appraiser"),
                           counted(place.study.trials, "repetition"));
    return place.flaw ? std::string(statistics::text_of(*place.flaw)) : std::string();
}

std::vector<TableCell> crossed_row(const GaugePlace& place, const language::PlanPtr& plan) {
    const auto& crossed = *place.crossed;
    std::vector<TableCell> row = {place.place.check, where_of(place.place, plan)};
    if (!crossed.anova) {
        row.insert(row.end(), 8, TableCell("-"));
        row.emplace_back(why_none(crossed));
        return row;
    }
    const auto& anova = *crossed.anova;
    row.push_back(deviation_cell(anova.repeatability));
    row.push_back(deviation_cell(anova.appraiser));
    row.push_back(anova.interaction_pooled ? TableCell("pooled")
                                           : deviation_cell(anova.interaction));
    row.push_back(deviation_cell(anova.gauge));
    row.push_back(crossed.range ? deviation_cell(crossed.range->study.gauge) : TableCell("-"));
    row.push_back(share_cell(anova.share_of_study(anova.gauge)));
    row.push_back(count_cell(static_cast<std::uint64_t>(anova.distinct_categories())));
    row.push_back(crossed.fit ? share_cell(crossed.fit->q) : TableCell("-"));
    row.emplace_back(fit_words(crossed.fit));
    return row;
}

Table crossed_table(const GaugeAnswer& answer) {
    Table table{"Standard deviations by analysis of variance; ranges beside it",
                {{"check", "", false},
                 {"where", "", false},
                 {"repeatability", "", true},
                 {"between appraisers", "", true},
                 {"interaction", "", true},
                 {"measuring", "", true},
                 {"by ranges", "", true},
                 {"of the study", "", true},
                 {"categories", "", true},
                 {"2 U of tolerance", "", true},
                 {"ISO 22514-7", "", false}},
                {}};
    for (const auto& place : answer.places) table.rows.push_back(crossed_row(place, answer.plan));
    return table;
}

std::vector<TableCell> type_1_row(const GaugePlace& place, const GaugeAnswer& answer) {
    const auto& type_1 = *place.type_1;
    std::vector<TableCell> row = {place.place.check, where_of(place.place, answer.plan),
                                  type_1.unit, count_cell(type_1.readings.size())};
    if (!type_1.study) {
        row.insert(row.end(), 6, TableCell("-"));
        row.emplace_back(!type_1.problem.empty() ? type_1.problem
                         : type_1.flaw           ? std::string(statistics::text_of(*type_1.flaw))
                                                 : std::string());
        return row;
    }
    const auto& study = *type_1.study;
    const bool known = answer.wish.reference.has_value();
    row.push_back(number_cell(study.mean));
    row.push_back(number_cell(study.deviation, 3));
    row.push_back(known ? TableCell(fmt::format("{:.3g} ({:.3g} to {:.3g})", study.bias,
                                                study.bias_low, study.bias_high),
                                    study.bias)
                        : TableCell("-"));
    row.push_back(number_cell(study.cg.value, 3));
    row.push_back(known ? number_cell(study.cgk.value, 3) : TableCell("-"));
    row.push_back(type_1.fit ? share_cell(type_1.fit->q) : TableCell("-"));
    row.emplace_back(fit_words(type_1.fit));
    return row;
}

Table type_1_table(const GaugeAnswer& answer) {
    Table table{"One unit, again and again",
                {{"check", "", false},
                 {"where", "", false},
                 {"unit", "", false},
                 {"readings", "", true},
                 {"mean", "", true},
                 {"deviation", "", true},
                 {"bias, 95 % interval", "", true},
                 {"Cg", "", true},
                 {"Cgk", "", true},
                 {"2 U of tolerance", "", true},
                 {"ISO 22514-7", "", false}},
                {}};
    for (const auto& place : answer.places) table.rows.push_back(type_1_row(place, answer));
    return table;
}

// Every value, by unit, one series an appraiser.
Chart values_chart(const GaugePlace& place, const language::PlanPtr& plan) {
    const auto& crossed = *place.crossed;
    const std::string unit = place.place.measure == "1" ? "" : place.place.measure;
    Chart chart;
    chart.id = id_of("gauge " + words_of(place.place, plan));
    chart.title = words_of(place.place, plan) + ": values by unit";
    chart.sentence =
        counted(crossed.study.parts, "unit") + ", " +
        counted(crossed.study.appraisers, "appraiser") + ", " +
        counted(crossed.study.trials, "repetition") +
        (crossed.left_out > 0 ? "; " + counted(crossed.left_out, "value") + " left out." : ".");
    chart.x = {"unit", "", Scale::order, crossed.parts};
    chart.y = {place.place.check, unit};
    chart.table = {chart.title,
                   {{"unit", "", false},
                    {"appraiser", "", false},
                    {"repetition", "", true},
                    {"value", unit, true}},
                   {}};
    for (std::size_t who = 0; who < crossed.study.appraisers; ++who) {
        Series series{crossed.appraisers[who], Shape::points};
        for (std::size_t part = 0; part < crossed.study.parts; ++part)
            for (std::size_t trial = 0; trial < crossed.study.trials; ++trial) {
                const double value = crossed.study.at(part, who, trial);
                // Appraisers stand side by side within their unit's place.
                const double aside = 0.5 * ((static_cast<double>(who) + 0.5) /
                                                static_cast<double>(crossed.study.appraisers) -
                                            0.5);
                series.dots.push_back({static_cast<double>(part) + aside, value});
                chart.table.rows.push_back({crossed.parts[part], crossed.appraisers[who],
                                            count_cell(trial + 1), number_cell(value)});
            }
        chart.series.push_back(std::move(series));
    }
    return chart;
}

}  // namespace

Json to_json(const GaugeAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) {
        GaugeObject json = members_of(place.place);
        json["crossed"] = place.crossed ? crossed_json(*place.crossed) : Json(nullptr);
        json["type_1"] = place.type_1 ? type_1_json(*place.type_1) : Json(nullptr);
        places.push_back(std::move(json));
    }
    return GaugeObject{{"places", std::move(places)}};
}

Sheet sheet_of(const GaugeAnswer& answer) {
    Sheet sheet;
    sheet.title = answer.wish.type_1 ? "Type 1 study" : "Gauge study";
    if (answer.places.empty()) {
        sheet.sentences.emplace_back(
            "No value answers to that. Gauge studies are made of lots run with --measure-only.");
        sheet.tables.push_back(answer.wish.type_1 ? type_1_table(answer) : crossed_table(answer));
        return sheet;
    }
    if (answer.wish.type_1) {
        sheet.sentences.emplace_back(
            "Cg and Cgk with 20 % of the tolerance and 6 deviations (common practice).");
        sheet.tables.push_back(type_1_table(answer));
        return sheet;
    }
    sheet.sentences.emplace_back(
        "Categories: how many groups of units the measuring tells apart; 5 or more are common "
        "practice. Fit: 2 U is at most 30 % of the tolerance (ISO 22514-7).");
    sheet.tables.push_back(crossed_table(answer));
    for (const auto& place : answer.places) {
        if (!place.crossed->anova) continue;
        sheet.charts.push_back(values_chart(place, answer.plan));
        break;
    }
    return sheet;
}

}  // namespace padtrim::answers
