#include "station/answers/limit_proposals.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"
#include "recipes/language/step_declarations.hpp"
#include "station/answers/kilohertz.hpp"
#include "station/answers/stored_plans.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::answers {
namespace {

using ledger::CheckValue;
using record::Verdict;
using statistics::Sides;
using statistics::ToleranceAim;
using Values = std::vector<const CheckValue*>;

// Rounded outwards to a hundredth of the width, or three digits of a limit that stands alone.
LimitPair rounded(const LimitPair& limits) {
    const double width = limits.low && limits.high
                             ? *limits.high - *limits.low
                             : std::abs(limits.low ? *limits.low : limits.high.value_or(0.0));
    if (!(width > 0.0)) return limits;
    const double step = std::pow(10.0, std::floor(std::log10(width)) - 2.0);
    LimitPair pair;
    if (limits.low) pair.low = std::floor(*limits.low / step) * step;
    if (limits.high) pair.high = std::ceil(*limits.high / step) * step;
    return pair;
}

std::string text_of(const LimitPair& limits, const std::string& measure) {
    const std::string unit = measure == "1" ? "" : " " + measure;
    if (limits.low && limits.high)
        return fmt::format("{:.6g} to {:.6g}{}", *limits.low, *limits.high, unit);
    if (limits.low) return fmt::format("at least {:.6g}{}", *limits.low, unit);
    return fmt::format("at most {:.6g}{}", limits.high.value_or(0.0), unit);
}

metrology::Limits limits_of(const LimitPair& pair) {
    metrology::Limits limits;
    limits.low = pair.low;
    limits.high = pair.high;
    return limits;
}

UnitsUnder units_under(const LimitPair& limits, const Values& values,
                       const language::DecisionRule& rule) {
    std::map<record::RunId, Verdict> units;
    for (const CheckValue* each : values) {
        // Results of before degrees were kept are decided by their coverage factor alone.
        const double degrees = std::isnan(each->degrees_of_freedom)
                                   ? std::numeric_limits<double>::infinity()
                                   : each->degrees_of_freedom;
        const metrology::Measured measured{each->value, each->standard_uncertainty, degrees};
        const auto verdict = metrology::decide_check(language::doubt_of(each->check), measured,
                                                     each->coverage_factor, limits_of(limits), rule)
                                 .verdict;
        Verdict& kept = units.try_emplace(each->run, Verdict::pass).first->second;
        if (kept != Verdict::fail && verdict != Verdict::pass) kept = verdict;
    }
    UnitsUnder count;
    for (const auto& [unit, verdict] : units) {
        ++(verdict == Verdict::pass   ? count.pass
           : verdict == Verdict::fail ? count.fail
                                      : count.inconclusive);
    }
    return count;
}

// Sides as the stored limits have them; where there are none, those that the check can have.
struct Wanted {
    bool low = true, high = true;
    [[nodiscard]] Sides sides() const { return low && high ? Sides::both : Sides::one; }
};
Wanted sides_of(const LimitPair& stored, language::Ends ends) {
    if (!stored.low && !stored.high)
        return {ends != language::Ends::upper, ends != language::Ends::lower};
    return {stored.low.has_value(), stored.high.has_value()};
}

language::Ends ends_of(const language::Recipe& recipe, const CheckValue& value) {
    for (const auto& step : recipe.steps) {
        if (step.name != value.step) continue;
        for (const auto& check : language::declaration_of(step.body).checks)
            if (check.name == value.check) return check.ends;
    }
    return language::Ends::either;
}

std::optional<LimitPair> normal_limits(const Spreading& spread, const Wanted& wanted,
                                       const ToleranceAim& aim) {
    const auto k = statistics::tolerance_factor(spread.values, aim, wanted.sides());
    if (!k) return std::nullopt;
    LimitPair pair;
    if (wanted.low) pair.low = spread.mean - *k * spread.standard_deviation;
    if (wanted.high) pair.high = spread.mean + *k * spread.standard_deviation;
    return pair;
}

std::optional<LimitPair> free_limits(std::vector<double> sorted, const Wanted& wanted,
                                     const ToleranceAim& aim) {
    const auto ranks = statistics::tolerance_ranks(sorted.size(), aim);
    const std::uint64_t needed = wanted.sides() == Sides::both ? 2 : 1;
    if (!ranks || *ranks < needed) return std::nullopt;
    std::sort(sorted.begin(), sorted.end());
    const std::uint64_t from_low = needed == 2 ? *ranks / 2 : *ranks;
    const std::uint64_t from_high = needed == 2 ? *ranks - from_low : *ranks;
    LimitPair pair;
    if (wanted.low) pair.low = sorted[from_low - 1];
    if (wanted.high) pair.high = sorted[sorted.size() - from_high];
    return pair;
}

// What a guarded rule takes in from a limit, for nearly every value: the 95 % quantile.
double guard_of(const Values& values, const language::DecisionRule& rule) {
    if (rule.kind != language::DecisionKind::guarded) return 0.0;
    const auto z = statistics::normal_quantile(1.0 - rule.consumer_risk);
    const double part = z ? *z / *statistics::normal_quantile(0.975) : 1.0;
    std::vector<double> guards;
    for (const CheckValue* each : values) {
        guards.push_back(part * each->coverage_factor * each->standard_uncertainty);
    }
    const auto at = guards.begin() + static_cast<std::ptrdiff_t>((guards.size() - 1) * 95 / 100);
    std::nth_element(guards.begin(), at, guards.end());
    return *at;
}

std::optional<LimitPair> widened(std::optional<LimitPair> pair, double guard) {
    if (pair && pair->low) *pair->low -= guard;
    if (pair && pair->high) *pair->high += guard;
    return pair;
}

Spreading spread_of(const Values& values) {
    statistics::Moments moments;
    for (const CheckValue* each : values) moments.add(each->value);
    Spreading spread;
    spread.values = values.size();
    spread.mean = moments.mean().value();
    if (values.size() > 1) spread.standard_deviation = moments.standard_deviation().value();
    spread.low = moments.lowest().value();
    spread.high = moments.highest().value();
    return spread;
}

// Typical standard uncertainty of the values; none where it is not about the same for all.
std::optional<double> doubt_in(const Values& values) {
    double squares = 0.0, largest = 0.0;
    for (const CheckValue* each : values) {
        squares += each->standard_uncertainty * each->standard_uncertainty;
        largest = std::max(largest, each->standard_uncertainty);
    }
    const double typical = std::sqrt(squares / static_cast<double>(values.size()));
    return largest <= 1.5 * typical ? std::optional(typical) : std::nullopt;
}

std::optional<metrology::GlobalRisk> risk_of(const Spreading& spread, const LimitPair& stored,
                                             double doubt, double guard) {
    const double seen = spread.standard_deviation;
    const double process = std::sqrt(std::max(0.0, seen * seen - doubt * doubt));
    if (!(process > 0.0 && doubt > 0.0) || !limits_of(stored).limited()) return std::nullopt;
    const auto accepted = metrology::guarded_limits(limits_of(stored), guard);
    if (!accepted) return std::nullopt;
    const auto risk = metrology::global_risk(metrology::normal_process(spread.mean, process), doubt,
                                             limits_of(stored), *accepted);
    return risk ? std::optional(*risk) : std::nullopt;
}

LimitPair outer(const LimitPair& a, const LimitPair& b) {
    LimitPair pair;
    if (a.low && b.low) pair.low = std::min(*a.low, *b.low);
    if (a.high && b.high) pair.high = std::max(*a.high, *b.high);
    return pair;
}

class Proposing {
  public:
    Proposing(const ProposalWish& wish, const language::Recipe& recipe)
        : wish_(wish), recipe_(recipe) {}

    ProposedLimits of_key(const Values& values) const {
        ProposedLimits line = about(values);
        line.key = values.front()->key;
        line.frequency = values.front()->frequency;
        const Wanted wanted = sides_of(line.stored, ends_of(recipe_, *values.front()));
        const auto needed =
            statistics::tolerance_sample(wanted.sides() == Sides::both ? 2 : 1, wish_.aim);
        line.wanted = needed ? *needed : 0;
        if (values.size() < std::max<std::size_t>(2, wish_.fewest)) return line;
        std::vector<double> numbers;
        for (const CheckValue* each : values) numbers.push_back(each->value);
        const double guard = guard_of(values, rule_for(values));
        line.normal =
            proposal(widened(normal_limits(line.spread, wanted, wish_.aim), guard), values);
        line.distribution_free =
            proposal(widened(free_limits(numbers, wanted, wish_.aim), guard), values);
        const auto doubt = doubt_in(values);
        if (doubt && language::doubt_of(line.check) != language::Doubt::of_scatter)
            line.risk = risk_of(line.spread, line.stored, *doubt, guard);
        return line;
    }

    // What holds every key; none where one key has no proposal.
    ProposedLimits of_all(const Values& values, const std::vector<ProposedLimits>& keys) const {
        ProposedLimits line = about(values);
        line.wanted = keys.front().wanted;
        line.normal = proposal(hull(keys, &ProposedLimits::normal), values);
        line.distribution_free = proposal(hull(keys, &ProposedLimits::distribution_free), values);
        for (const ProposedLimits& key : keys) {
            if (!key.risk) continue;
            if (!line.risk) line.risk = metrology::GlobalRisk{};
            line.risk->consumer = std::max(line.risk->consumer, key.risk->consumer);
            line.risk->producer = std::max(line.risk->producer, key.risk->producer);
            line.risk->nonconforming = std::max(line.risk->nonconforming, key.risk->nonconforming);
        }
        return line;
    }

  private:
    ProposedLimits about(const Values& values) const {
        ProposedLimits line;
        const CheckValue& newest = *values.back();
        line.step = newest.step;
        line.check = newest.check;
        line.measure = newest.measure;
        line.spread = spread_of(values);
        line.stored = {newest.low, newest.high};
        line.under_stored = units_under(line.stored, values, rule_for(values));
        return line;
    }

    // With the part of the risk that one try and one look may spend.
    language::DecisionRule rule_for(const Values& values) const {
        return metrology::rule_of_one_look(recipe_, values.back()->step, values.back()->check);
    }

    std::optional<Proposal> proposal(const std::optional<LimitPair>& pair,
                                     const Values& values) const {
        if (!pair) return std::nullopt;
        Proposal made;
        made.limits = rounded(*pair);
        made.text = text_of(made.limits, values.front()->measure);
        made.units = units_under(made.limits, values, rule_for(values));
        return made;
    }

    static std::optional<LimitPair> hull(const std::vector<ProposedLimits>& keys,
                                         std::optional<Proposal> ProposedLimits::*kind) {
        std::optional<LimitPair> all;
        for (const ProposedLimits& key : keys) {
            if (!(key.*kind)) return std::nullopt;
            const LimitPair& pair = (key.*kind)->limits;
            all = all ? outer(*all, pair) : pair;
        }
        return all;
    }

    const ProposalWish& wish_;
    const language::Recipe& recipe_;
};

// Yes-or-no checks say 0 or 1 and have no distribution to speak of.
bool has_a_spread(const Values& values) {
    return std::any_of(values.begin(), values.end(),
                       [](const CheckValue* v) { return v->standard_uncertainty > 0.0; });
}

std::vector<ProposedLimits> proposals_of(const std::vector<CheckValue>& values,
                                         const Proposing& proposing) {
    using Check = std::pair<std::string, std::string>;
    std::map<Check, std::map<std::tuple<std::string, int, int>, Values>> checks;
    std::vector<Check> order;
    for (const CheckValue& each : values) {
        const Check check{each.step, each.check};
        if (checks.count(check) == 0) order.push_back(check);
        checks[check][{each.key, each.channel, each.frequency}].push_back(&each);
    }
    std::vector<ProposedLimits> lines;
    for (const Check& check : order) {
        Values all;
        std::vector<ProposedLimits> keys;
        for (const auto& [place, some] : checks[check]) {
            all.insert(all.end(), some.begin(), some.end());
            keys.push_back(proposing.of_key(some));
        }
        if (!has_a_spread(all)) continue;
        std::stable_sort(all.begin(), all.end(),
                         [](const CheckValue* a, const CheckValue* b) { return a->run < b->run; });
        lines.push_back(proposing.of_all(all, keys));
        if (keys.size() > 1) lines.insert(lines.end(), keys.begin(), keys.end());
    }
    return lines;
}

}  // namespace

journal::Stored<LimitProposals> propose_limits(ledger::Reader& reader, const ProposalWish& wish) {
    const auto runs = reader.runs(wish.filter);
    if (!runs) return runs.error();
    LimitProposals answer;
    answer.aim = wish.aim;
    answer.fewest = wish.fewest;
    // A unit that came in several lots is one unit. Without any name it is its first run's.
    using Unit = std::tuple<std::string, std::string, record::RunId>;
    std::map<Unit, const ledger::RunSummary*> newest;
    for (const auto& run : *runs) {
        const std::string& name = run.serial.empty() ? run.label : run.serial;
        newest[{run.product, name, name.empty() ? run.unit : 0}] = &run;
    }
    answer.units = static_cast<std::uint32_t>(newest.size());
    if (newest.empty()) return answer;
    std::vector<record::RunId> chosen;
    for (const auto& [unit, run] : newest) {
        chosen.push_back(run->run);
        answer.drafts += run->permission.kind == record::PermissionKind::draft ? 1 : 0;
    }
    std::sort(chosen.begin(), chosen.end());
    const auto last = std::find_if(newest.begin(), newest.end(), [&](const auto& unit) {
        return unit.second->run == chosen.back();
    });
    const auto plan = stored_plan(reader, last->second->plan_hash);
    if (!plan) return plan.error();
    answer.plan = *plan;
    language::Recipe recipe;  // nothing but the default rule where the plan cannot be read
    if (answer.plan) recipe = answer.plan->recipe;
    const auto values = reader.check_values(chosen, wish.checks, record::Stage::as_found);
    if (!values) return values.error();
    answer.checks = proposals_of(*values, Proposing(wish, recipe));
    return answer;
}

namespace {

using Array = boost::json::array;
using Object = boost::json::object;

Json to_json(const LimitPair& pair) {
    return Object{{"low", pair.low ? number(*pair.low) : Json(nullptr)},
                  {"high", pair.high ? number(*pair.high) : Json(nullptr)}};
}

Json to_json(const UnitsUnder& units) {
    return Object{{"units", units.units()},
                  {"pass", units.pass},
                  {"inconclusive", units.inconclusive},
                  {"fail", units.fail}};
}

Json to_json(const std::optional<Proposal>& proposal) {
    if (!proposal) return nullptr;
    return Object{{"limits", to_json(proposal->limits)},
                  {"text", proposal->text},
                  {"yield", to_json(proposal->units)}};
}

Json to_json(const std::optional<metrology::GlobalRisk>& risk) {
    if (!risk) return nullptr;
    return Object{{"nonconforming", number(risk->nonconforming)},
                  {"nonconforming_and_accepted", number(risk->consumer)},
                  {"conforming_and_rejected", number(risk->producer)}};
}

Json to_json(const ProposedLimits& line, const language::PlanPtr& plan) {
    return Object{{"step", text(line.step)},
                  {"check", line.check},
                  {"unit", line.measure},
                  {"key", text(line.key)},
                  {"frequency", line.frequency},
                  {"kilohertz", kilohertz(plan, line.frequency)},
                  {"values", line.spread.values},
                  {"mean", number(line.spread.mean)},
                  {"standard_deviation", number(line.spread.standard_deviation)},
                  {"lowest", number(line.spread.low)},
                  {"highest", number(line.spread.high)},
                  {"stored", to_json(line.stored)},
                  {"stored_yield", to_json(line.under_stored)},
                  {"stored_risk", to_json(line.risk)},
                  {"normal", to_json(line.normal)},
                  {"distribution_free", to_json(line.distribution_free)},
                  {"distribution_free_wants", line.wanted}};
}

}  // namespace

Json to_json(const LimitProposals& answer) {
    Array checks;
    for (const auto& line : answer.checks) checks.push_back(to_json(line, answer.plan));
    return Object{{"content", answer.aim.content},  {"confidence", answer.aim.confidence},
                  {"units", answer.units},          {"drafts", answer.drafts},
                  {"fewest_values", answer.fewest}, {"checks", std::move(checks)}};
}

}  // namespace padtrim::answers
