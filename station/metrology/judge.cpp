#include "station/metrology/judge.hpp"

#include <algorithm>
#include <optional>

#include "db/record/attempts.hpp"
#include "station/metrology/flow.hpp"
#include "station/metrology/sentences.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Disposition;
using record::Verdict;

// Raised whenever a formula changes what a stored run would be judged to.
constexpr const char* formulas = "5";

void check_any(const Case& unit, const language::Step& step, Findings& findings) {
    std::visit([&](const auto& body) { check_step(unit, step.name, body, findings); }, step.body);
}

bool any(const Findings& findings, Verdict verdict) {
    return std::any_of(findings.checks.begin(), findings.checks.end(),
                       [verdict](const Finding& f) { return f.check.verdict == verdict; });
}

// Of the checks from a place on: how their step ended.
Verdict verdict_from(const Findings& findings, std::size_t from) {
    Verdict worst = Verdict::pass;
    for (std::size_t i = from; i < findings.checks.size(); ++i) {
        const Verdict verdict = findings.checks[i].check.verdict;
        if (verdict == Verdict::fail) return verdict;
        if (verdict == Verdict::no_verdict || worst == Verdict::pass) worst = verdict;
    }
    return worst;
}

// Judges the steps that apply, in order; comes back with the first that did not run.
std::string check_steps(const Case& unit, Findings& findings) {
    const language::Recipe& recipe = unit.plan().recipe;
    StepEnds ends;
    std::string missing;
    for (const language::Step& step : recipe.steps) {
        std::optional<Verdict> end;
        if (applies(recipe, ends)) {
            const std::size_t from = findings.checks.size();
            const bool ran = unit.done(step.name);
            if (ran) check_any(unit, step, findings);
            if (ran) end = verdict_from(findings, from);
            if (!ran && missing.empty()) {
                missing = step.name;
                // Nothing was written after measurements that all passed.
                const bool writes = std::holds_alternative<language::WriteTrimsStep>(step.body);
                if (writes && verdict_from(findings, 0) == Verdict::pass) {
                    check_trims_reach(unit, step.name, findings);
                }
            }
        }
        ends.push_back(end);
    }
    return missing;
}

// Which attempt counted, for each step that was done more than once.
std::string told_attempts(const Case& unit) {
    std::string text;
    for (const language::Step& step : unit.plan().recipe.steps) {
        const unsigned earlier = record::earlier_attempts(unit.observations(), step.name);
        if (earlier > 0)
            text += " Step " + step.name + " was done " + std::to_string(earlier + 1) +
                    " times; the last counts.";
    }
    return text;
}

// Failure needs one proof; a pass needs everything.
Verdict verdict_of(const Case& unit, const Findings& findings, const std::string& missing) {
    const record::Observations& seen = unit.observations();
    if (seen.aborted || !seen.faults.empty()) return Verdict::no_verdict;
    if (any(findings, Verdict::fail)) return Verdict::fail;
    if (any(findings, Verdict::no_verdict)) return Verdict::no_verdict;
    if (any(findings, Verdict::inconclusive)) return Verdict::inconclusive;
    return missing.empty() ? Verdict::pass : Verdict::no_verdict;
}

Disposition disposition_of(const Case& unit, Verdict verdict) {
    if (verdict == Verdict::pass) return Disposition::released;
    if (unit.written()) return Disposition::quarantined;
    return verdict == Verdict::fail ? Disposition::rework : Disposition::undecided;
}

Sentences sentences_of(const Case& unit, const Findings& findings, Verdict verdict,
                       const std::string& missing) {
    switch (verdict) {
        case Verdict::pass:
            return sentences_of_pass(unit, findings);
        case Verdict::fail:
            return sentences_of_failure(unit, findings);
        case Verdict::inconclusive:
            return sentences_of_doubt(unit, findings);
        case Verdict::no_verdict:
            break;
    }
    return sentences_of_no_verdict(unit, findings, missing);
}

std::vector<record::CheckResult> checks_of(Findings findings) {
    std::vector<record::CheckResult> checks;
    checks.reserve(findings.checks.size());
    for (Finding& f : findings.checks) checks.push_back(std::move(f.check));
    return checks;
}

record::UnitResult judge_counted(const language::Plan& plan,
                                 const language::EquipmentRecord& references,
                                 const record::Observations& observations) {
    const Case unit(plan, references, observations);
    Findings findings;
    findings.checks.reserve(64 + 10 * unit.series());
    const std::string missing = check_steps(unit, findings);
    record::UnitResult result;
    result.formula_version = formulas;
    result.verdict = verdict_of(unit, findings, missing);
    result.disposition = disposition_of(unit, result.verdict);
    Sentences sentences = sentences_of(unit, findings, result.verdict, missing);
    result.reason = std::move(sentences.reason) + told_attempts(unit);
    result.next_step = result.disposition == Disposition::quarantined
                           ? in_quarantine(sentences.next_step)
                           : std::move(sentences.next_step);
    result.lines = std::move(findings.lines);
    result.checks = checks_of(std::move(findings));
    return result;
}

StepResult judge_counted_step(const language::Plan& plan,
                              const language::EquipmentRecord& references,
                              const record::Observations& observations, const std::string& step) {
    const Case unit(plan, references, observations);
    Findings findings;
    bool known = false;
    for (const language::Step& each : plan.recipe.steps) {
        if (each.name != step) continue;
        known = true;
        check_any(unit, each, findings);
    }
    if (!known) return {};
    const Verdict verdict = verdict_from(findings, 0);
    return {verdict, checks_of(std::move(findings))};
}

}  // namespace

record::UnitResult judge(const language::Plan& plan, const language::EquipmentRecord& references,
                         const record::Observations& observations) {
    if (observations.attempts.empty()) return judge_counted(plan, references, observations);
    return judge_counted(plan, references, record::without_earlier_attempts(observations));
}

StepResult judge_step(const language::Plan& plan, const language::EquipmentRecord& references,
                      const record::Observations& observations, const std::string& step) {
    if (observations.attempts.empty())
        return judge_counted_step(plan, references, observations, step);
    return judge_counted_step(plan, references, record::without_earlier_attempts(observations),
                              step);
}

}  // namespace padtrim::metrology
