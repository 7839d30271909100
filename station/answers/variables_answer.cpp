#include "station/answers/variables_answer.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using VariablesObject = boost::json::object;

VariablesPlace judged_by_variables(const PlaceSeries& one, const VariablesWish& wish) {
    VariablesPlace place{one.place, one.values.size(), one.low, one.high, {}, {}};
    if (!one.low && !one.high) {
        place.problem = "no limits";
    } else if (place.values < wish.plan.sample) {
        place.problem = fmt::format("{} are needed", counted(wish.plan.sample, "value"));
    } else {
        const auto result =
            quality::judge_by_variables(one.numbers(), {one.low, one.high, wish.plan.k});
        if (result)
            place.result = *result;
        else
            place.problem = statistics::text_of(result.error());
    }
    return place;
}

bool is_accepted(const VariablesPlace& place) {
    return place.result && place.result->accepted;
}

Json maybe_number(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json variables_json(const VariablesPlace& place) {
    VariablesObject json = members_of(place.place);
    json["values"] = place.values;
    json["low"] = maybe_number(place.low);
    json["high"] = maybe_number(place.high);
    json["problem"] = text(place.problem);
    json["accepted"] = is_accepted(place);
    if (!place.result) return json;
    json["mean"] = number(place.result->mean);
    json["deviation"] = number(place.result->deviation);
    json["q_low"] = maybe_number(place.result->q_low);
    json["q_high"] = maybe_number(place.result->q_high);
    return json;
}

TableCell q_cell(const std::optional<double>& q) {
    return q ? number_cell(*q, 4) : TableCell("-");
}

std::vector<TableCell> variables_row(const VariablesPlace& place, const language::PlanPtr& plan) {
    std::vector<TableCell> row = {place.place.check, where_of(place.place, plan),
                                  count_cell(place.values)};
    if (!place.result) {
        row.insert(row.end(), 2, TableCell("-"));
    } else {
        row.push_back(number_cell(place.result->mean));
        row.push_back(number_cell(place.result->deviation, 3));
    }
    row.emplace_back(allowed(place.low, place.high) + unit_after(place.place.measure));
    row.push_back(place.result ? q_cell(place.result->q_low) : TableCell("-"));
    row.push_back(place.result ? q_cell(place.result->q_high) : TableCell("-"));
    row.emplace_back(!place.result            ? "not judged: " + place.problem
                     : place.result->accepted ? "accepted"
                                              : "not accepted");
    return row;
}

Table variables_table(const VariablesAnswer& answer) {
    Table table{"",
                {{"check", "", false},
                 {"where", "", false},
                 {"values", "", true},
                 {"mean", "", true},
                 {"deviation", "", true},
                 {"allowed", "", false},
                 {"Q low", "", true},
                 {"Q high", "", true},
                 {"", "", false}},
                {}};
    for (const auto& place : answer.places) table.rows.push_back(variables_row(place, answer.plan));
    return table;
}

std::string plan_sentence(const VariablesWish& wish) {
    std::string words = fmt::format("Each Q has to be at least k = {:.4g}", wish.plan.k);
    if (!wish.risks) return words + ", as said.";
    const auto& risks = *wish.risks;
    return words +
           fmt::format(
               ", with {} or more: where {:g} % lie beyond a limit it is accepted with {:g} %, "
               "where {:g} % do with {:g} % at most.",
               counted(wish.plan.sample, "value"), 100.0 * risks.good,
               100.0 * (1.0 - risks.producers_risk), 100.0 * risks.bad,
               100.0 * risks.consumers_risk);
}

}  // namespace

bool VariablesAnswer::accepted() const {
    return !places.empty() && std::all_of(places.begin(), places.end(), is_accepted);
}

journal::Stored<VariablesAnswer> variables_answer(ledger::Reader& reader,
                                                  const VariablesWish& wish) {
    const auto series = value_series(reader, wish.values);
    if (!series) return series.error();
    VariablesAnswer answer{wish, series->plan, {}};
    for (const auto& one : series->places) answer.places.push_back(judged_by_variables(one, wish));
    std::stable_partition(answer.places.begin(), answer.places.end(),
                          [](const auto& place) { return !is_accepted(place); });
    return answer;
}

Json to_json(const VariablesAnswer& answer) {
    boost::json::array places;
    for (const auto& place : answer.places) places.push_back(variables_json(place));
    return VariablesObject{{"lot", text(answer.wish.values.runs.lot.value_or(""))},
                           {"accepted", answer.accepted()},
                           {"values_needed", answer.wish.plan.sample},
                           {"k", number(answer.wish.plan.k)},
                           {"places", std::move(places)}};
}

Sheet sheet_of(const VariablesAnswer& answer) {
    Sheet sheet;
    sheet.title = "Lot " + printable(answer.wish.values.runs.lot.value_or(""), 40) +
                  " by variables: " + (answer.accepted() ? "accepted" : "NOT ACCEPTED");
    if (answer.places.empty())
        sheet.sentences.emplace_back(
            "No stored value of that check, so there is nothing to judge.");
    sheet.sentences.push_back(plan_sentence(answer.wish));
    sheet.sentences.emplace_back(
        "Q is the distance of the mean from a limit in deviations (ISO 3951-1, s method, from "
        "memory). It takes values for normal, which padtrim capability looks at; each key and each "
        "limit is judged by itself.");
    sheet.tables.push_back(variables_table(answer));
    return sheet;
}

}  // namespace padtrim::answers
