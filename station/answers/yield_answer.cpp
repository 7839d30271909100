#include "station/answers/yield_answer.hpp"

#include <algorithm>
#include <array>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/quality/names.hpp"
#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/yield_report.hpp"

namespace padtrim::answers {
namespace {

// Of a comparison of two that were named, and of retests (common practice, no source).
constexpr double compared_risk = 0.05;
constexpr double most_of_all = 0.8;      // what the vital few make up
constexpr std::size_t most_ranked = 16;  // bars that stand on a sheet; the table has all

using ledger::RollupBy;
using YieldObject = boost::json::object;

struct Grouping {
    std::string_view name;
    RollupBy by;
};
constexpr std::array<Grouping, 10> groupings = {{{"lot", RollupBy::lot},
                                                 {"recipe", RollupBy::recipe_revision},
                                                 {"station", RollupBy::station},
                                                 {"product", RollupBy::product},
                                                 {"nest", RollupBy::nest},
                                                 {"shift", RollupBy::shift},
                                                 {"shift-of-day", RollupBy::shift_of_day},
                                                 {"day", RollupBy::day},
                                                 {"month", RollupBy::month},
                                                 {"all", RollupBy::everything}}};

std::string name_in(const ledger::RollupGroup& group, RollupBy by) {
    switch (by) {
        case RollupBy::lot:
            return printable(group.lot, 40);
        case RollupBy::recipe_revision:
            return printable(group.recipe, 40) + " " + printable(group.recipe_revision, 20);
        case RollupBy::station:
            return printable(group.station, 40);
        case RollupBy::product:
            return printable(group.product, 40);
        case RollupBy::nest:
            return "nest " + std::to_string(group.nest);
        case RollupBy::shift:
            return "shift " + std::to_string(group.shift);
        case RollupBy::shift_of_day:
            return day_words(group.day) + " shift " + std::to_string(group.shift);
        case RollupBy::day:
            return day_words(group.day);
        case RollupBy::month:
            return day_words(group.day).substr(0, 7);
        default:
            return "all";
    }
}

YieldGroup group_of(const ledger::UnitRollup& rollup, RollupBy by) {
    YieldGroup group{rollup.group, name_in(rollup.group, by), rollup.counts, {}};
    if (const auto yield = quality::yield_of(rollup.counts.yield)) group.yield = *yield;
    return group;
}

statistics::Counted first_pass(const YieldGroup& group) {
    return {group.counts.yield.first_pass, group.counts.yield.units};
}

// "nest 2" or "2"; names of lots as they are.
const YieldGroup* group_named(const YieldAnswer& answer, const std::string& name) {
    for (const auto& group : answer.groups)
        if (group.name == name) return &group;
    for (const auto& group : answer.groups)
        if (group.name == "nest " + name || group.name == "shift " + name) return &group;
    return nullptr;
}

void compare(YieldAnswer& answer, const std::pair<std::string, std::string>& names) {
    const auto* a = group_named(answer, names.first);
    const auto* b = group_named(answer, names.second);
    if (a == nullptr || b == nullptr) {
        std::string known;
        for (const auto& group : answer.groups) known += (known.empty() ? "" : ", ") + group.name;
        answer.problem = "There is no '" +
                         printable(a == nullptr ? names.first : names.second, 60) +
                         "' to compare. There are: " + (known.empty() ? "none" : known) + ".";
        return;
    }
    const auto difference = quality::compare_shares(first_pass(*a), first_pass(*b));
    if (difference)
        answer.comparison = YieldComparison{a->name, b->name, *difference};
    else
        answer.problem = "One of the two has no unit with a verdict.";
}

std::vector<quality::Recovery> recovered_of(const std::vector<quality::RejectedFirst>& rejected) {
    const auto recoveries = quality::recoveries(rejected);
    return recoveries ? *recoveries : std::vector<quality::Recovery>{};
}

journal::Stored<void> add_recoveries(ledger::RollupReader& rollups, const QualityWish& wish,
                                     YieldAnswer& answer) {
    const auto nests = rollups.units(rollups_of(wish), RollupBy::nest);
    if (!nests) return nests.error();
    std::vector<quality::RejectedFirst> rejected;
    for (const auto& nest : *nests) {
        const auto& count = nest.counts.yield;
        rejected.push_back({name_in(nest.group, RollupBy::nest), {count.recovered, count.retried}});
    }
    answer.by_nest = recovered_of(rejected);
    return {};
}

std::string failure_name(const ledger::CheckPlace& place) {
    return printable(place.check, 40) + (place.key.empty() ? "" : ", " + printable(place.key, 40));
}

// As found and as left stand together here: a unit is counted by its first failing check alone.
journal::Stored<void> add_failures(ledger::RollupReader& rollups, const QualityWish& wish,
                                   YieldAnswer& answer) {
    std::vector<quality::NamedCount> counts;
    std::map<std::string, statistics::Counted> by_check;
    for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
        const auto rows =
            rollups.failures(rollups_of(wish), places_of(wish, stage), RollupBy::everything);
        if (!rows) return rows.error();
        for (const auto& row : *rows) {
            const bool left = stage == record::Stage::as_left;
            counts.push_back(
                {failure_name(row.place) + (left ? ", as left" : ""), row.counts.first_failing});
            auto& check = by_check[printable(row.place.check, 40)];
            check.part += row.counts.recovered;
            check.whole += row.counts.retried;
        }
    }
    if (const auto rows = quality::pareto(counts)) answer.failures = *rows;
    std::vector<quality::RejectedFirst> rejected;
    for (const auto& [check, counted] : by_check) rejected.push_back({check, counted});
    answer.by_check = recovered_of(rejected);
    return {};
}

TableCell share_of(const YieldGroup& group, quality::Share quality::Yield::*which) {
    if (!group.yield) return {"-"};
    const auto& share = (*group.yield).*which;
    return {share_text(share), share.value};
}

std::string alike_sentence(const YieldAnswer& answer) {
    if (!answer.alike) return "";
    const auto& test = *answer.alike;
    return fmt::format("{} (p = {:.2g}, risk {:g}, {}).",
                       test.significance < differing_chance
                           ? "First-pass yields differ"
                           : "No difference of first-pass yields shown",
                       test.significance, differing_chance, quality::name_of(test.test));
}

std::string vital_sentence(const YieldAnswer& answer) {
    const auto few = quality::vital_few(answer.failures, most_of_all), all = answer.failures.size();
    std::string sentence =
        all == 1 ? "One cause makes up all rejected units."
        : few == all
            ? fmt::format("All {} causes are needed for 80 % of rejected units.", all)
            : fmt::format("{} of {} causes make up at least 80 % of rejected units.", few, all);
    sentence +=
        " At the end of each bar: units, and their share with all above. A unit counts once, by "
        "the first check that failed at its first try.";
    if (all > most_ranked) sentence += fmt::format(" Drawn: the first {} of {}.", most_ranked, all);
    return sentence;
}

std::string comparison_sentence(const YieldComparison& comparison) {
    const auto& first = comparison.first_pass;
    return fmt::format(
        "{} less {}: {:+.1f} percentage points of first-pass yield ({:+.1f} to {:+.1f}), {} "
        "(p = {:.2g}, risk {:g}, {}).",
        comparison.a, comparison.b, 100.0 * first.value, 100.0 * first.difference.low,
        100.0 * first.difference.high,
        first.real(compared_risk) ? "a real difference" : "no difference shown",
        first.test.significance, compared_risk, quality::name_of(first.test.test));
}

Json recovery_json(const std::vector<quality::Recovery>& recoveries) {
    boost::json::array list;
    for (const auto& recovery : recoveries)
        list.push_back(YieldObject{{"name", text(recovery.name)},
                                   {"recovered", recovery.share.part},
                                   {"tried_again", recovery.share.whole},
                                   {"others", number(recovery.rest)},
                                   {"significance", number(recovery.significance)},
                                   {"suspect", recovery.suspect(compared_risk)}});
    return list;
}

Json homogeneity_json(const quality::Homogeneity& test) {
    return YieldObject{{"test", quality::name_of(test.test)},
                       {"chi_squared", number(test.chi_squared)},
                       {"degrees", number(test.degrees)},
                       {"significance", number(test.significance)}};
}

Json group_json(const YieldGroup& group) {
    const auto& counts = group.counts;
    return YieldObject{{"name", text(group.name)},
                       {"lot", text(group.group.lot)},
                       {"station", text(group.group.station)},
                       {"product", text(group.group.product)},
                       {"recipe", text(group.group.recipe)},
                       {"recipe_revision", text(group.group.recipe_revision)},
                       {"day", text(day_words(group.group.day))},
                       {"shift", group.group.shift},
                       {"nest", group.group.nest},
                       {"runs", counts.runs},
                       {"count", to_json(counts.yield)},
                       {"by_newest_run", to_json(counts.count)},
                       {"yield", group.yield ? to_json(*group.yield) : Json(nullptr)}};
}

Table recovery_table(const YieldAnswer& answer) {
    Table table{"What retests recover",
                {{"nest or check", "", false},
                 {"rejected, tried again", "", true},
                 {"recovered", "", true},
                 {"share", "", true},
                 {"others", "", true},
                 {"", "", false}},
                {}};
    for (const auto* list : {&answer.by_nest, &answer.by_check})
        for (const auto& each : *list)
            table.rows.push_back({each.name, count_cell(each.share.whole),
                                  count_cell(each.share.part), share_cell(each.share.value),
                                  share_cell(each.rest),
                                  each.suspect(compared_risk) ? "rejects good units?" : ""});
    return table;
}

}  // namespace

std::optional<RollupBy> yield_grouping_of(std::string_view name) {
    for (const auto& grouping : groupings)
        if (grouping.name == name) return grouping.by;
    return std::nullopt;
}

std::vector<std::string> yield_grouping_names() {
    std::vector<std::string> names;
    for (const auto& grouping : groupings) names.emplace_back(grouping.name);
    return names;
}

journal::Stored<YieldAnswer> yield_answer(
    ledger::Reader& reader, const QualityWish& wish, RollupBy by,
    const std::optional<std::pair<std::string, std::string>>& names) {
    YieldAnswer answer;
    answer.by = by;
    ledger::RollupReader rollups(reader);
    const auto rows = rollups.units(rollups_of(wish), by);
    if (!rows) return rows.error();
    for (const auto& row : *rows) answer.groups.push_back(group_of(row, by));
    const auto whole = rollups.units(rollups_of(wish), RollupBy::everything);
    if (!whole) return whole.error();
    if (!whole->empty()) answer.whole = group_of(whole->front(), RollupBy::everything);
    std::vector<statistics::Counted> shares;
    for (const auto& group : answer.groups)
        if (group.yield) shares.push_back(first_pass(group));
    if (shares.size() > 1)
        if (const auto test = quality::homogeneity(shares)) answer.alike = *test;
    if (names) compare(answer, *names);
    const auto recovered = add_recoveries(rollups, wish, answer);
    if (!recovered) return recovered.error();
    const auto failed = add_failures(rollups, wish, answer);
    if (!failed) return failed.error();
    return answer;
}

journal::Stored<YieldAnswer> yield_and_rolled(
    ledger::Reader& reader, const QualityWish& wish, RollupBy by,
    const std::optional<std::pair<std::string, std::string>>& names) {
    auto answer = yield_answer(reader, wish, by, names);
    if (!answer) return answer;
    auto rolled = rolled_throughput(reader, wish);
    if (!rolled) return rolled.error();
    answer->rolled = std::move(*rolled);
    return answer;
}

Json to_json(const YieldAnswer& answer) {
    boost::json::array groups, failures;
    for (const auto& group : answer.groups) groups.push_back(group_json(group));
    for (const auto& row : answer.failures)
        failures.push_back(YieldObject{{"name", text(row.name)},
                                       {"units", row.count},
                                       {"share", number(row.share)},
                                       {"running", number(row.running)}});
    YieldObject json{{"yields", std::move(groups)},
                     {"whole", answer.whole ? group_json(*answer.whole) : Json(nullptr)},
                     {"alike", answer.alike ? homogeneity_json(*answer.alike) : Json(nullptr)},
                     {"recovery_by_nest", recovery_json(answer.by_nest)},
                     {"recovery_by_check", recovery_json(answer.by_check)},
                     {"first_failing_checks", std::move(failures)}};
    json["rolled_throughput"] = to_json(answer.rolled);
    json["comparison"] = nullptr;
    if (answer.comparison) {
        const auto& first = answer.comparison->first_pass;
        json["comparison"] = YieldObject{
            {"a", text(answer.comparison->a)},       {"b", text(answer.comparison->b)},
            {"difference", number(first.value)},     {"low", number(first.difference.low)},
            {"high", number(first.difference.high)}, {"test", homogeneity_json(first.test)}};
    }
    return json;
}

Table yield_table(const YieldAnswer& answer) {
    Table table{"",
                {{"", "", false},
                 {"units", "", true},
                 {"first-pass yield", "", true},
                 {"final yield", "", true},
                 {"tried again", "", true},
                 {"recovered", "", true},
                 {"no verdict", "", true}},
                {}};
    auto rows = answer.groups;
    if (answer.whole && rows.size() > 1) rows.push_back(*answer.whole);
    for (const auto& group : rows) {
        const auto& count = group.counts.yield;
        table.rows.push_back(
            {group.name, count_cell(count.units), share_of(group, &quality::Yield::first_pass),
             share_of(group, &quality::Yield::final_pass), count_cell(count.retested),
             count_cell(count.recovered), count_cell(count.without_verdict)});
    }
    return table;
}

Chart yield_chart(const YieldAnswer& answer) {
    Chart chart;
    chart.id = "yield";
    chart.title = "First-pass yield";
    chart.sentence = "With Wilson's 95 % intervals. " + alike_sentence(answer);
    chart.x = {"", "", Scale::order, {}};
    chart.y = {"first-pass yield", "%", Scale::number, {}, {}, 1.0, true};
    Series first{"first-pass yield", Shape::intervals}, last{"final yield", Shape::points};
    for (const auto& group : answer.groups) {
        if (!group.yield) continue;
        const auto place = static_cast<double>(chart.x.names.size());
        const auto& share = group.yield->first_pass;
        chart.x.names.push_back(group.name);
        first.dots.push_back({place, share.value, share.wilson.low, share.wilson.high});
        last.dots.push_back({place + 0.15, group.yield->final_pass.value});
    }
    chart.series = {std::move(first), std::move(last)};
    if (answer.whole && answer.whole->yield)
        chart.limits.push_back({"all", answer.whole->yield->first_pass.value, LimitKind::centre});
    chart.table = yield_table(answer);
    return chart;
}

Chart pareto_chart(const YieldAnswer& answer) {
    Chart chart;
    chart.id = "first-failing-checks";
    chart.title = "What fails first";
    chart.sentence = vital_sentence(answer);
    chart.x = {"", "", Scale::order, {}};
    chart.y = {"units", "", Scale::number, {}, 0.0, {}};
    Series bars{"units", Shape::ranked};
    chart.table = {chart.title,
                   {{"check and key", "", false},
                    {"units", "", true},
                    {"share", "", true},
                    {"running", "", true}},
                   {}};
    for (const auto& row : answer.failures) {
        chart.table.rows.push_back(
            {row.name, count_cell(row.count), share_cell(row.share), share_cell(row.running)});
        if (bars.dots.size() == most_ranked) continue;
        bars.dots.push_back({.x = static_cast<double>(chart.x.names.size()),
                             .y = static_cast<double>(row.count),
                             .note = fmt::format("{} · {}", row.count, percent(row.running))});
        chart.x.names.push_back(row.name);
    }
    const auto few = quality::vital_few(answer.failures, most_of_all);
    if (few < bars.dots.size())
        chart.limits.push_back({"80 %", static_cast<double>(few) - 0.5, LimitKind::centre, true});
    chart.series = {std::move(bars)};
    return chart;
}

Sheet sheet_of(const YieldAnswer& answer) {
    Sheet sheet;
    sheet.title = "Yield";
    if (answer.groups.empty()) {
        sheet.sentences.emplace_back("No finished unit answers to that.");
        sheet.tables.push_back(yield_table(answer));
        return sheet;
    }
    if (answer.comparison) sheet.sentences.push_back(comparison_sentence(*answer.comparison));
    if (answer.alike) sheet.sentences.push_back(alike_sentence(answer));
    sheet.sentences.emplace_back(
        "Brackets: 95 % interval (Wilson). Units without a verdict count neither way.");
    sheet.tables.push_back(yield_table(answer));
    if (!answer.by_nest.empty() || !answer.by_check.empty())
        sheet.tables.push_back(recovery_table(answer));
    if (answer.groups.size() > 1) sheet.charts.push_back(yield_chart(answer));
    if (!answer.failures.empty()) {
        sheet.charts.push_back(pareto_chart(answer));
        sheet.tables.push_back(sheet.charts.back().table);
    }
    if (!answer.rolled.empty()) sheet.tables.push_back(rolled_table(answer.rolled));
    return sheet;
}

}  // namespace padtrim::answers
