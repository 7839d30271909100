#include "station/answers/unit_details.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "db/record/attempts.hpp"

namespace padtrim::answers {
namespace {

using Array = boost::json::array;
using Object = boost::json::object;

void note(std::vector<std::string>& gaps, std::string what) {
    if (std::find(gaps.begin(), gaps.end(), what) == gaps.end()) gaps.push_back(std::move(what));
}

Array numbers(const std::vector<double>& values) {
    Array list;
    for (const double value : values) list.push_back(number(value));
    return list;
}

Json budget_json(const metrology::Budget& budget) {
    const auto combined = metrology::combine(budget);
    if (!combined) return nullptr;
    Array terms;
    for (std::size_t i = 0; i < budget.terms.size(); ++i) {
        const auto& term = budget.terms[i];
        const bool type_a = term.evaluation == metrology::Evaluation::type_a;
        terms.push_back(Object{{"term", term.name},
                               {"type", type_a ? "A" : "B"},
                               {"value", number(term.value)},
                               {"standard", number(term.standard)},
                               {"unit", term.unit.empty() ? budget.unit : term.unit},
                               {"distribution", metrology::name_of(term.shape)},
                               {"source", term.source},
                               {"contribution", number(std::abs(term.contribution()))},
                               {"sensitivity", number(term.sensitivity)},
                               {"degrees_of_freedom", number(term.degrees)},
                               {"share_percent", number(combined->shares[i])}});
    }
    return Object{{"value", number(budget.value)},
                  {"unit", budget.unit},
                  {"terms", std::move(terms)},
                  {"standard", number(combined->standard)},
                  {"degrees_of_freedom", number(combined->degrees)},
                  {"coverage_factor", number(combined->coverage_factor)},
                  {"expanded", number(combined->expanded)}};
}

const char* name_of(metrology::Agreement agreement) {
    switch (agreement) {
        case metrology::Agreement::agrees:
            return "agrees";
        case metrology::Agreement::differs:
            return "differs";
        case metrology::Agreement::too_few_trials:
            break;
    }
    return "too few trials";
}

Json check_json(const metrology::Budget& budget, const metrology::MonteCarloResult& trials) {
    const auto check = metrology::check_of(budget, trials);
    if (!check) return nullptr;
    return Object{{"tolerance", number(check->delta)},
                  {"low_off", number(check->low_off)},
                  {"high_off", number(check->high_off)},
                  {"chance", number(check->doubt)},
                  {"verdict", name_of(check->agreement)}};
}

Json trials_json(const metrology::Budget& budget, const metrology::MonteCarloResult& trials) {
    return Object{{"trials", trials.trials},     {"stated_interval", check_json(budget, trials)},
                  {"mean", number(trials.mean)}, {"standard", number(trials.standard)},
                  {"low", number(trials.low)},   {"high", number(trials.high)}};
}

Json line_json(const metrology::LineReport& line) {
    Object json{{"channel", line.channel},
                {"frequency", line.frequency},
                {"key", line.key},
                {"gain", budget_json(line.gain)},
                {"offset", budget_json(line.offset)},
                {"correlation", number(line.correlation)},
                {"lack_of_fit", Object{{"chi_squared", number(line.chi_squared)},
                                       {"degrees", number(line.fit_degrees)},
                                       {"significance", number(line.significance)}}},
                {"definition_stated", line.definition_stated}};
    if (line.trials) {
        json["monte_carlo"] = Object{{"gain", trials_json(line.gain, line.trials->gain)},
                                     {"offset", trials_json(line.offset, line.trials->offset)}};
    }
    return json;
}

Json noise_json(const metrology::NoiseReport& noise) {
    Array allan;
    for (const auto& point : noise.allan) {
        allan.push_back(Object{{"scans", point.scans},
                               {"deviation", number(point.deviation)},
                               {"expected", number(point.white)}});
    }
    Json tone = nullptr, stranger = nullptr;
    if (noise.tone) {
        tone = Object{{"cycles_a_scan", number(noise.tone->frequency)},
                      {"amplitude", number(noise.tone->amplitude)},
                      {"significance", number(noise.tone->significance)}};
    }
    if (noise.stranger) {
        stranger = Object{{"scan", noise.stranger->index + 1},
                          {"statistic", number(noise.stranger->statistic)},
                          {"critical", number(noise.stranger->critical)}};
    }
    return Object{{"channel", noise.channel},
                  {"frequency", noise.frequency},
                  {"scans", noise.scans},
                  {"standard", number(noise.standard)},
                  {"correlation", number(noise.correlation)},
                  {"peak_to_peak", number(noise.peak_to_peak)},
                  {"expected_peak_to_peak", number(noise.expected_peak_to_peak)},
                  {"allan", std::move(allan)},
                  {"farthest", std::move(stranger)},
                  {"strongest_tone", std::move(tone)}};
}

Json matrix_json(const metrology::CrosstalkMatrix& matrix) {
    Array keys(matrix.keys.begin(), matrix.keys.end()), rows;
    for (const auto& row : matrix.rows) {
        rows.push_back(Object{{"touched", row.touched},
                              {"percent", numbers(row.percent)},
                              {"standard", numbers(row.standard)}});
    }
    return Object{{"keys", std::move(keys)}, {"rows", std::move(rows)}};
}

Json frequencies_json(const metrology::KeyFrequencies& key) {
    return Object{{"key", key.key},
                  {"relative", numbers(key.relative)},
                  {"score", numbers(key.compared.score)},
                  {"limit", number(key.compared.limit)},
                  {"disturbed", key.compared.odd ? Json(*key.compared.odd) : Json(nullptr)}};
}

void add_channel(UnitDetails& details, const HistoryRun& run, std::size_t channel,
                 std::size_t frequency, std::size_t trials) {
    const auto& plan = *run.plan;
    const auto& equipment = plan.fixture.equipment;
    const auto& seen = *run.stored.observations;
    auto line = metrology::line_report(plan, equipment, seen, channel, frequency, trials);
    if (line) {
        details.lines.push_back(std::move(*line));
    } else {
        note(details.gaps, line.error().what);
    }
    auto noise = metrology::noise_report(plan, equipment, seen, channel, frequency);
    if (noise) {
        details.noise.push_back(std::move(*noise));
    } else {
        note(details.gaps, noise.error().what);
    }
}

}  // namespace

UnitDetails unit_details(const HistoryRun& run, const DetailsWish& wish) {
    UnitDetails details;
    if (!run.plan || !run.stored.observations) {
        note(details.gaps, "The run has no observations, or its plan cannot be read any more.");
        return details;
    }
    // Of a step that was repeated the last attempt counts.
    if (!run.stored.observations->attempts.empty()) {
        HistoryRun counted = run;
        counted.stored.observations = record::without_earlier_attempts(*run.stored.observations);
        counted.stored.observations->attempts.clear();
        return unit_details(counted, wish);
    }
    const auto& plan = *run.plan;
    const std::size_t first = wish.channel.value_or(0);
    const std::size_t end = wish.channel ? first + 1 : plan.map.channels;
    for (std::size_t channel = first; channel < end; ++channel) {
        for (std::size_t f = 0; f < plan.map.frequencies.size(); ++f) {
            add_channel(details, run, channel, f, wish.trials);
        }
    }
    const auto& seen = *run.stored.observations;
    for (auto& budget : metrology::check_budgets(plan, plan.fixture.equipment, seen)) {
        if (!wish.channel || budget.channel == static_cast<int>(first))
            details.budgets.push_back(std::move(budget));
    }
    for (std::size_t f = 0; f < plan.map.frequencies.size(); ++f) {
        auto matrix = metrology::crosstalk_matrix(plan, plan.fixture.equipment, seen, f);
        if (matrix) details.crosstalk.push_back(std::move(*matrix));
    }
    details.frequencies = metrology::frequencies_compared(plan, plan.fixture.equipment, seen);
    return details;
}

Json to_json(const UnitDetails& details) {
    Array lines, budgets, noise, crosstalk, frequencies;
    for (const auto& one : details.budgets) {
        budgets.push_back(Object{{"step", one.step},
                                 {"quantity", one.budget.quantity},
                                 {"channel", one.channel},
                                 {"frequency", one.frequency},
                                 {"key", one.key},
                                 {"budget", budget_json(one.budget)}});
    }
    for (const auto& line : details.lines) lines.push_back(line_json(line));
    for (const auto& one : details.noise) noise.push_back(noise_json(one));
    for (const auto& matrix : details.crosstalk) crosstalk.push_back(matrix_json(matrix));
    for (const auto& key : details.frequencies) frequencies.push_back(frequencies_json(key));
    return Object{{"lines", std::move(lines)},
                  {"budgets", std::move(budgets)},
                  {"noise", std::move(noise)},
                  {"crosstalk", std::move(crosstalk)},
                  {"frequencies", std::move(frequencies)},
                  {"gaps", Array(details.gaps.begin(), details.gaps.end())}};
}

}  // namespace padtrim::answers
