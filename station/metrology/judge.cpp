#include "station/metrology/judge.hpp"

#include <algorithm>

#include "station/metrology/sentences.hpp"
#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

namespace {

using record::Disposition;
using record::Verdict;

// Raised whenever a formula changes what a stored run would be judged to.
constexpr const char* formulas = "1";

void check_any(const Case& unit, const language::Step& step, Findings& findings) {
    std::visit([&](const auto& body) { check_step(unit, step.name, body, findings); }, step.body);
}

bool any(const Findings& findings, Verdict verdict) {
    return std::any_of(findings.checks.begin(), findings.checks.end(),
                       [verdict](const Finding& f) { return f.check.verdict == verdict; });
}

std::string first_missing(const Case& unit) {
    for (const language::Step& step : unit.plan().recipe.steps) {
        if (!unit.done(step.name)) return step.name;
    }
    return {};
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

}  // namespace

record::UnitResult judge(const language::Plan& plan, const language::EquipmentRecord& references,
                         const record::Observations& observations) {
    const Case unit(plan, references, observations);
    Findings findings;
    findings.checks.reserve(64 + 10 * unit.series());
    for (const language::Step& step : plan.recipe.steps) {
        if (unit.done(step.name)) check_any(unit, step, findings);
    }
    const std::string missing = first_missing(unit);
    record::UnitResult result;
    result.formula_version = formulas;
    result.verdict = verdict_of(unit, findings, missing);
    result.disposition = disposition_of(unit, result.verdict);
    Sentences sentences = sentences_of(unit, findings, result.verdict, missing);
    result.reason = std::move(sentences.reason);
    result.next_step = std::move(sentences.next_step);
    result.lines = std::move(findings.lines);
    result.checks.reserve(findings.checks.size());
    for (Finding& f : findings.checks) result.checks.push_back(std::move(f.check));
    return result;
}

record::Verdict judge_step(const language::Plan& plan, const language::EquipmentRecord& references,
                           const record::Observations& observations, const std::string& step) {
    const Case unit(plan, references, observations);
    Findings findings;
    bool known = false;
    for (const language::Step& each : plan.recipe.steps) {
        if (each.name != step) continue;
        known = true;
        check_any(unit, each, findings);
    }
    if (!known) return Verdict::no_verdict;
    if (any(findings, Verdict::fail)) return Verdict::fail;
    if (any(findings, Verdict::no_verdict)) return Verdict::no_verdict;
    return any(findings, Verdict::inconclusive) ? Verdict::inconclusive : Verdict::pass;
}

}  // namespace padtrim::metrology
