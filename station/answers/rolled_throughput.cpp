#include "station/answers/rolled_throughput.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

using RolledObject = boost::json::object;

struct Tried {
    std::uint64_t tries = 0, not_passed = 0;
    bool judged = false;  // by limits, or it failed
};
using Steps = std::map<std::tuple<std::string, std::string, std::string>, Tried>;

auto place_of_step(const ledger::CheckPlace& place) {
    return std::tuple(place.step, place.check, place.key);
}

double yield_of(const RolledStep& step) {
    return static_cast<double>(step.passed.part) / static_cast<double>(step.passed.whole);
}

// A key has a value on each channel and frequency: the most that one of them has is the tries.
void take(Steps& steps, const ledger::ValueRollup& values) {
    Tried& step = steps[place_of_step(values.place)];
    const auto& count = values.verdicts;
    step.tries = std::max(step.tries, count.pass + count.fail + count.inconclusive);
    step.judged = step.judged || values.low || values.high;
}
void take(Steps& steps, const ledger::FailureRollup& failures) {
    Tried& step = steps[place_of_step(failures.place)];
    step.not_passed += failures.counts.failed + failures.counts.inconclusive;
    step.judged = step.judged || step.not_passed > 0;
}

std::optional<RolledThroughput> rolled_of(const Steps& steps, record::Stage stage) {
    RolledThroughput rolled{stage, {}, {}};
    std::vector<quality::Counted> passed;
    for (const auto& [place, tried] : steps) {
        // A check that only speaks when it fails has no count of its tries.
        if (!tried.judged || tried.tries == 0 || tried.not_passed > tried.tries) continue;
        const auto& [step, check, key] = place;
        rolled.steps.push_back({step, check, key, {tried.tries - tried.not_passed, tried.tries}});
        passed.push_back(rolled.steps.back().passed);
    }
    const auto yield = quality::rolled_yield(passed);
    if (!yield) return std::nullopt;
    rolled.rolled = *yield;
    std::stable_sort(rolled.steps.begin(), rolled.steps.end(),
                     [](const auto& a, const auto& b) { return yield_of(a) < yield_of(b); });
    return rolled;
}

std::string words_of_step(const RolledStep& step) {
    return printable(step.check, 40) + (step.key.empty() ? "" : ", " + printable(step.key, 40));
}

TableCell rolled_cell(const quality::RolledYield& rolled) {
    return {fmt::format("{} ({:.1f} to {:.1f} %)", percent(rolled.value),
                        100.0 * rolled.interval.low, 100.0 * rolled.interval.high),
            rolled.value};
}

Json steps_json(const std::vector<RolledStep>& steps) {
    boost::json::array list;
    for (const auto& step : steps)
        list.push_back(RolledObject{{"step", text(step.step)},
                                    {"check", text(step.check)},
                                    {"key", text(step.key)},
                                    {"passed", step.passed.part},
                                    {"tried", step.passed.whole}});
    return list;
}

}  // namespace

journal::Stored<std::vector<RolledThroughput>> rolled_throughput(ledger::Reader& reader,
                                                                 const QualityWish& wish) {
    using ledger::RollupBy;
    std::vector<RolledThroughput> all;
    ledger::RollupReader rollups(reader);
    for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
        const auto places = places_of(wish, stage);
        const auto values = rollups.values(rollups_of(wish), places, RollupBy::everything,
                                           ledger::WithHistogram::no);
        if (!values) return values.error();
        const auto failures = rollups.failures(rollups_of(wish), places, RollupBy::everything);
        if (!failures) return failures.error();
        Steps steps;
        for (const auto& row : *values) take(steps, row);
        for (const auto& row : *failures) take(steps, row);
        if (auto rolled = rolled_of(steps, stage)) all.push_back(std::move(*rolled));
    }
    return all;
}

Json to_json(const std::vector<RolledThroughput>& rolled) {
    boost::json::array stages;
    for (const auto& each : rolled)
        stages.push_back(RolledObject{{"stage", text(record::name_of(each.stage))},
                                      {"value", number(each.rolled.value)},
                                      {"low", number(each.rolled.interval.low)},
                                      {"high", number(each.rolled.interval.high)},
                                      {"of_a_check", number(each.rolled.normalised)},
                                      {"defects_per_unit", number(each.rolled.defects_per_unit)},
                                      {"checks", steps_json(each.steps)}});
    return stages;
}

Table rolled_table(const std::vector<RolledThroughput>& rolled) {
    Table table{"Rolled throughput yield: every check passed at the first try",
                {{"", "", false},
                 {"checks", "", true},
                 {"rolled yield", "", true},
                 {"mean yield of a check", "", true},
                 {"defects a unit", "", true},
                 {"least yield", "", false}},
                {}};
    for (const auto& each : rolled) {
        const auto& least = each.steps.front();
        table.rows.push_back({std::string(record::name_of(each.stage)),
                              count_cell(each.steps.size()), rolled_cell(each.rolled),
                              share_cell(each.rolled.normalised),
                              number_cell(each.rolled.defects_per_unit, 3),
                              words_of_step(least) + ": " + percent(yield_of(least))});
    }
    return table;
}

Table rolled_steps(const std::vector<RolledThroughput>& rolled) {
    Table table;
    for (const char* title : {"stage", "step", "check", "key"})
        table.columns.push_back({title, "", false});
    for (const char* title : {"tried", "passed", "yield", "low", "high"})
        table.columns.push_back({title, "", true});
    for (const auto& each : rolled) {
        const std::string stage(record::name_of(each.stage));
        for (const auto& step : each.steps) {
            const auto share = quality::share_of(step.passed, 0.95);
            table.rows.push_back({stage, step.step, step.check, step.key,
                                  count_cell(step.passed.whole), count_cell(step.passed.part),
                                  share_cell(yield_of(step)),
                                  share ? share_cell(share->wilson.low) : TableCell("-"),
                                  share ? share_cell(share->wilson.high) : TableCell("-")});
        }
        table.rows.push_back({stage, "", "all, rolled", "", "", "", share_cell(each.rolled.value),
                              share_cell(each.rolled.interval.low),
                              share_cell(each.rolled.interval.high)});
    }
    return table;
}

}  // namespace padtrim::answers
