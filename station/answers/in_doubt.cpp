#include "station/answers/in_doubt.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/named.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/readiness.hpp"
#include "station/answers/stored_plans.hpp"
#include "station/answers/times.hpp"
#include "station/answers/trace_answer.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::answers {
namespace {

using DoubtObject = boost::json::object;
using record::Verdict;

constexpr std::size_t doubt_checks = 1000;

bool concerns(const PossibleError& error, const ledger::CheckValue& value, std::uint16_t nest) {
    return error.nest == nest && error.check == value.check && error.key == value.key &&
           error.channel == value.channel && error.frequency == value.frequency;
}

Verdict without_error(const ledger::CheckValue& value, double error,
                      const language::Recipe& recipe) {
    metrology::Limits limits;
    limits.low = value.low;
    limits.high = value.high;
    const double degrees = std::isnan(value.degrees_of_freedom)
                               ? std::numeric_limits<double>::infinity()
                               : value.degrees_of_freedom;
    return metrology::decide_check(language::doubt_of(value.check),
                                   {value.value - error, value.standard_uncertainty, degrees},
                                   value.coverage_factor, limits,
                                   metrology::rule_of_one_look(recipe, value.step, value.check))
        .verdict;
}

std::string change_words(const ledger::CheckValue& value, double error, Verdict now) {
    return fmt::format("{}{}: {:.6g} less {:.3g} is {:.6g} {}, {} instead of {}", value.check,
                       value.key.empty() ? "" : " of key " + value.key, value.value, error,
                       value.value - error, answers::allowed(value.low, value.high),
                       record::name_of(now), record::name_of(value.verdict));
}

// All values at once: run by run, asking would take longer than deciding.
class Doubter {
  public:
    Doubter(ledger::Reader& reader, const std::vector<PossibleError>& errors)
        : reader_(reader), errors_(errors) {
        for (const auto& error : errors)
            if (error.value != 0.0 &&
                std::find(checks_.begin(), checks_.end(), error.check) == checks_.end())
                checks_.push_back(error.check);
    }

    journal::Stored<std::vector<DoubtfulUnit>> doubt(std::vector<ledger::RunSummary> runs) {
        std::vector<DoubtfulUnit> units;
        std::vector<record::RunId> ids;
        for (auto& run : runs) {
            ids.push_back(run.run);
            units.push_back({std::move(run), false, ""});
        }
        if (checks_.empty()) return units;
        for (const auto stage : {record::Stage::as_found, record::Stage::as_left}) {
            const auto values = reader_.check_values(ids, checks_, stage);
            if (!values) return values.error();
            if (auto considered = consider(units, *values); !considered) return considered.error();
        }
        return units;
    }

  private:
    // Both in the order of runs.
    journal::Stored<void> consider(std::vector<DoubtfulUnit>& units,
                                   const std::vector<ledger::CheckValue>& values) {
        auto unit = units.begin();
        language::PlanPtr plan;
        std::string plan_hash;
        for (const auto& value : values) {
            while (unit->run.run != value.run) ++unit;
            if (unit->run.plan_hash != plan_hash || plan_hash.empty()) {
                auto read = stored_plan(reader_, unit->run.plan_hash);
                if (!read) return read.error();
                plan = std::move(*read);
                plan_hash = unit->run.plan_hash;
            }
            if (plan)
                consider(*unit, value, *plan);
            else
                unit->what = "its plan cannot be read any more";
        }
        return {};
    }
    void consider(DoubtfulUnit& unit, const ledger::CheckValue& value,
                  const language::Plan& plan) const {
        if (unit.would_change || (!value.low && !value.high)) return;
        for (const auto& error : errors_) {
            if (error.value == 0.0 || !concerns(error, value, unit.run.nest)) continue;
            const Verdict now = without_error(value, error.value, plan.recipe);
            if (now == value.verdict) continue;
            unit.would_change = true;
            unit.what = change_words(value, error.value, now);
            return;
        }
    }

    ledger::Reader& reader_;
    const std::vector<PossibleError>& errors_;
    std::vector<std::string> checks_;  // that the station may have been wrong by
};

// Of one fixture, oldest first.
std::vector<DoubtEpisode> episodes_of(const std::vector<const record::ShiftCheck*>& checks) {
    std::vector<DoubtEpisode> episodes;
    std::optional<record::WallTime> last_good;
    bool blocked = false;
    for (const auto* check : checks) {
        if (check->decision == record::CheckDecision::ready) {
            last_good = check->at;
            if (blocked) episodes.back().ready_again = check->at;
            blocked = false;
            continue;
        }
        if (!blocked) episodes.push_back({check->fixture, last_good, {}, {}});
        episodes.back().blocking.push_back(*check);
        blocked = true;
    }
    return episodes;
}

std::vector<DoubtEpisode> all_episodes(const std::vector<record::ShiftCheck>& newest_first) {
    std::map<std::string, std::vector<const record::ShiftCheck*>> by_fixture;
    for (auto check = newest_first.rbegin(); check != newest_first.rend(); ++check)
        by_fixture[check->fixture].push_back(&*check);
    std::vector<DoubtEpisode> episodes;
    for (const auto& [fixture, checks] : by_fixture)
        for (auto& episode : episodes_of(checks)) episodes.push_back(std::move(episode));
    std::stable_sort(episodes.begin(), episodes.end(), [](const auto& a, const auto& b) {
        return a.blocking.back().at > b.blocking.back().at;
    });
    return episodes;
}

bool same_place(const PossibleError& a, const PossibleError& b) {
    return a.nest == b.nest && a.check == b.check && a.key == b.key && a.channel == b.channel &&
           a.frequency == b.frequency;
}

// What its checks found together, and which nests they leave in doubt.
class Found {
  public:
    explicit Found(const DoubtEpisode& episode) {
        for (const auto& check : episode.blocking) {
            auto errors = possible_errors(check);
            for (const auto& error : errors) take(error);
            checks_.emplace_back(&check, std::move(errors));
        }
        std::stable_sort(errors_.begin(), errors_.end(),
                         [](const auto& a, const auto& b) { return a.beyond > b.beyond; });
    }
    [[nodiscard]] const std::vector<PossibleError>& errors() const { return errors_; }
    [[nodiscard]] bool leaves_in_doubt(std::uint16_t nest) {
        const auto [known, fresh] = nests_.try_emplace(nest);
        if (fresh)
            known->second = std::any_of(checks_.begin(), checks_.end(), [&](const auto& each) {
                return nest_in_doubt(*each.first, each.second, nest);
            });
        return known->second;
    }

  private:
    void take(const PossibleError& error) {
        const auto known = std::find_if(errors_.begin(), errors_.end(),
                                        [&](const auto& each) { return same_place(each, error); });
        if (known == errors_.end())
            errors_.push_back(error);
        else if (std::abs(error.value) > std::abs(known->value))
            *known = error;
    }
    std::vector<PossibleError> errors_;
    std::vector<std::pair<const record::ShiftCheck*, std::vector<PossibleError>>> checks_;
    std::map<std::uint16_t, bool> nests_;
};

// A mistyped name must not give a clean bill.
journal::Stored<std::string> problem_of(ledger::Reader& reader, const InDoubt& answer,
                                        std::size_t episode) {
    auto problem = wrong_with_named(reader, ledger::NameKind::station, answer.station);
    if (problem && problem->empty() && !answer.fixture.empty())
        problem = wrong_with_named(reader, ledger::NameKind::fixture, answer.fixture);
    if (!problem || !problem->empty()) return problem;
    if (episode == 0 || (episode > 1 && episode > answer.episodes.size()))
        return "There is no episode " + std::to_string(episode) + ": the station was blocked " +
               counted(answer.episodes.size(), "time") + ".";
    return std::string();
}

std::string error_place(const PossibleError& error) {
    return fmt::format("nest {}, {}{}", error.nest, printable(error.check, 40),
                       error.key.empty() ? "" : ", key " + printable(error.key, 40));
}

Table errors_table(const InDoubt& answer) {
    Table table{"By how much the station may have been wrong",
                {{"where", "", false},
                 {"channel", "", true},
                 {"frequency", "", true},
                 {"possible error", "", true},
                 {"measured in", "", false},
                 {"whose", "", false},
                 {"standards", "", true},
                 {"", "", false}},
                {}};
    for (const auto& error : answer.errors)
        table.rows.push_back(
            {error_place(error),
             error.channel < 0 ? TableCell("-")
                               : count_cell(static_cast<std::uint64_t>(error.channel)),
             error.frequency < 0 ? TableCell("-")
                                 : count_cell(static_cast<std::uint64_t>(error.frequency)),
             number_cell(error.value, 3), error.measure,
             std::string(name_of(error.whose)) +
                 (error.apart.empty() ? "" : ": " + printable(error.apart_words(), 60)),
             count_cell(error.standards), error.beyond ? "beyond its limits" : ""});
    return table;
}

bool challenge_missed(const InDoubt& answer) {
    if (answer.episode == 0 || answer.episode > answer.episodes.size()) return false;
    const auto& checks = answer.episodes[answer.episode - 1].blocking;
    return std::any_of(checks.begin(), checks.end(), [](const record::ShiftCheck& check) {
        return std::any_of(check.standards.begin(), check.standards.end(),
                           [](const auto& unit) { return unit.challenge && !unit.as_wanted; });
    });
}

Table doubtful_table(const InDoubt& answer) {
    std::vector<ledger::RunSummary> runs;
    for (const auto& unit : answer.units) runs.push_back(unit.run);
    Table table = runs_table(runs);
    table.title = "Units in doubt";
    table.columns.insert(table.columns.begin(), {"verdict would change", "", false});
    table.columns.push_back({"why", "", false});
    for (std::size_t i = 0; i < answer.units.size(); ++i) {
        table.rows[i].insert(table.rows[i].begin(),
                             TableCell(answer.units[i].would_change ? "YES" : "no"));
        table.rows[i].emplace_back(answer.units[i].what);
    }
    return table;
}

}  // namespace

std::size_t InDoubt::would_change() const {
    return static_cast<std::size_t>(std::count_if(
        units.begin(), units.end(), [](const DoubtfulUnit& unit) { return unit.would_change; }));
}

journal::Stored<InDoubt> units_in_doubt(ledger::Reader& reader, const std::string& station,
                                        const std::string& fixture, std::size_t which) {
    InDoubt answer;
    answer.station = station;
    answer.fixture = fixture;
    const auto checks = reader.shift_checks(station, fixture, doubt_checks);
    if (!checks) return checks.error();
    answer.checks = checks->size();
    answer.episodes = all_episodes(*checks);
    auto problem = problem_of(reader, answer, which);
    if (!problem) return problem.error();
    answer.problem = std::move(*problem);
    if (!answer.problem.empty() || answer.episodes.empty()) return answer;
    answer.episode = which;
    const DoubtEpisode& episode = answer.episodes[which - 1];
    answer.blocking = episode.blocking.back();
    answer.last_good = episode.last_good;
    answer.still_blocked = !episode.ready_again;
    Found found(episode);
    answer.errors = found.errors();
    ledger::RunFilter filter;
    filter.station = station;
    filter.since = episode.last_good;
    filter.until = answer.blocking->at;
    auto runs = reader.runs(filter);
    if (!runs) return runs.error();
    std::erase_if(*runs, [&](const auto& run) { return run.fixture != episode.fixture; });
    const std::size_t of_that_time = runs->size();
    std::erase_if(*runs, [&](const auto& run) { return !found.leaves_in_doubt(run.nest); });
    answer.not_in_doubt = of_that_time - runs->size();
    auto units = Doubter(reader, answer.errors).doubt(std::move(*runs));
    if (!units) return units.error();
    answer.units = std::move(*units);
    std::stable_sort(answer.units.begin(), answer.units.end(),
                     [](const auto& a, const auto& b) { return a.would_change > b.would_change; });
    return answer;
}

Json to_json(const InDoubt& answer) {
    boost::json::array errors, units, episodes;
    for (const auto& episode : answer.episodes)
        episodes.push_back(DoubtObject{
            {"fixture", text(episode.fixture)},
            {"last_good", episode.last_good ? Json(iso_8601(*episode.last_good)) : Json(nullptr)},
            {"first_blocked", iso_8601(episode.blocking.front().at)},
            {"last_blocked", iso_8601(episode.blocking.back().at)},
            {"ready_again",
             episode.ready_again ? Json(iso_8601(*episode.ready_again)) : Json(nullptr)},
            {"cause", text(episode.blocking.front().cause)}});
    for (const auto& error : answer.errors) {
        boost::json::array apart;
        for (const auto& serial : error.apart) apart.push_back(text(serial));
        errors.push_back(DoubtObject{{"nest", error.nest},
                                     {"check", text(error.check)},
                                     {"key", text(error.key)},
                                     {"channel", error.channel},
                                     {"frequency", error.frequency},
                                     {"value", number(error.value)},
                                     {"unit", text(error.measure)},
                                     {"standard_uncertainty", number(error.standard_uncertainty)},
                                     {"whose", name_of(error.whose)},
                                     {"apart", std::move(apart)},
                                     {"standards", error.standards},
                                     {"beyond", error.beyond}});
    }
    for (const auto& unit : answer.units)
        units.push_back(DoubtObject{{"run", unit.run.run},
                                    {"serial", text(unit.run.serial)},
                                    {"lot", text(unit.run.lot_name)},
                                    {"nest", unit.run.nest},
                                    {"began", iso_8601(unit.run.started)},
                                    {"verdict", record::name_of(unit.run.verdict)},
                                    {"disposition", record::name_of(unit.run.disposition)},
                                    {"would_change", unit.would_change},
                                    {"what", text(unit.what)}});
    return DoubtObject{
        {"station", text(answer.station)},
        {"blocking_check", answer.blocking ? to_json(*answer.blocking) : Json(nullptr)},
        {"last_good", answer.last_good ? Json(iso_8601(*answer.last_good)) : Json(nullptr)},
        {"still_blocked", answer.still_blocked},
        {"episode", answer.episode},
        {"episodes", std::move(episodes)},
        {"would_change", answer.would_change()},
        {"not_in_doubt", answer.not_in_doubt},
        {"possible_errors", std::move(errors)},
        {"units", std::move(units)}};
}

Sheet sheet_of(const InDoubt& answer) {
    Sheet sheet;
    sheet.title = "Units in doubt, station " + printable(answer.station, 40);
    if (!answer.problem.empty()) sheet.sentences.push_back(answer.problem);
    if (!answer.blocking) {
        if (answer.problem.empty())
            sheet.sentences.emplace_back(answer.checks == 0
                                             ? "No shift check of this station was ever kept."
                                             : "No shift check has found this station wrong.");
        sheet.tables.push_back(doubtful_table(answer));
        return sheet;
    }
    if (answer.episodes.size() > 1)
        sheet.sentences.push_back("The station was blocked " +
                                  counted(answer.episodes.size(), "time") + ": this is episode " +
                                  std::to_string(answer.episode) +
                                  ", 1 being the newest; each has units of its own.");
    sheet.sentences.push_back(
        "The check at " + minute_words(answer.blocking->at) +
        " UTC blocked the station: " + printable(answer.blocking->cause, 400));
    sheet.sentences.push_back(
        (answer.last_good
             ? "The last good check before it was at " + minute_words(*answer.last_good) + " UTC"
             : std::string("There was no good check before it")) +
        "; " + counted(answer.units.size(), "run") + " since in doubt, of which " +
        std::to_string(answer.would_change()) + " would get another verdict.");
    if (challenge_missed(answer))
        sheet.sentences.emplace_back(
            "A challenge unit was not rejected as it has to be: that leaves all of them in doubt.");
    if (answer.not_in_doubt > 0)
        sheet.sentences.push_back(
            counted(answer.not_in_doubt, "run") +
            " of that time not in doubt: what changed is a check standard's own, or another "
            "nest's.");
    if (answer.still_blocked)
        sheet.sentences.push_back("The station is blocked still: " +
                                  printable(answer.blocking->next_step, 300));
    sheet.tables = {doubtful_table(answer), errors_table(answer)};
    return sheet;
}

}  // namespace padtrim::answers
