#include "station/metrology/findings.hpp"

#include <cmath>
#include <cstdio>
#include <optional>

namespace padtrim::metrology {

namespace {

using record::Verdict;

record::CheckResult at(CheckPlace place) {
    record::CheckResult check;
    check.step = place.step;
    check.check = place.check;
    check.unit = place.unit;
    check.traceability = place.traceability;
    check.stage = place.stage;
    check.channel = place.channel;
    check.frequency = place.frequency;
    check.key = std::move(place.key);
    return check;
}

std::string where(const Case& unit, const record::CheckResult& check) {
    if (check.channel >= 0) return " at " + unit.place_of(static_cast<std::size_t>(check.channel));
    return check.key.empty() ? "" : " at " + unit.place_of_key(check.key);
}

std::string with_unit(double value, const std::string& unit) {
    return unit == "1" ? figure(value) : figure(value) + " " + unit;
}

// "Gain at key 3 is 371.2 counts/pF, below 380 counts/pF."
std::string note_of(const Case& unit, const record::CheckResult& check) {
    const bool low_side =
        check.low && (!check.high || check.value - *check.low < *check.high - check.value);
    const double limit = low_side ? *check.low : *check.high;
    std::string name = check.check;
    if (name[0] >= 'a' && name[0] <= 'z') name[0] = static_cast<char>(name[0] - 'a' + 'A');
    std::string text = name + where(unit, check) + " is " + with_unit(check.value, check.unit);
    if (check.verdict == Verdict::fail) {
        text += low_side ? ", below " : ", above ";
    } else {
        text += " with an uncertainty of " + with_unit(check.expanded_uncertainty, check.unit) +
                ", too close to ";
    }
    return text + with_unit(limit, check.unit) + ".";
}

std::string flaw_note(const Case& unit, const record::CheckResult& check, statistics::Flaw flaw) {
    const std::string why = flaw == statistics::Flaw::too_few_points
                                ? "its readings are too few or too alike to tell their scatter; "
                                  "take more scans"
                                : std::string(statistics::text_of(flaw));
    return "The check \"" + check.check + "\"" + where(unit, check) + " was not decided: " + why +
           ".";
}

}  // namespace

namespace {

// `decided`: a verdict that was reached look by look.
Finding* add(Findings& findings, const Case& unit, CheckPlace place, const Measured& measured,
             const Limits& limits_of_all, std::optional<Verdict> decided, std::string note) {
    const Limits limits =
        unit.limits_at(place.step, place.check, place.key, place.channel, limits_of_all);
    if (!limits.limited()) return nullptr;
    Finding finding;
    record::CheckResult& check = finding.check;
    check = at(std::move(place));
    check.value = measured.value;
    check.standard_uncertainty = measured.standard;
    check.degrees_of_freedom = measured.degrees;
    check.coverage_factor = unit.coverage_factor(measured.degrees);
    check.expanded_uncertainty = check.coverage_factor * measured.standard;
    check.low = limits.low;
    check.high = limits.high;
    const Conformity conformity =
        decide_check(language::doubt_of(check.check), measured, check.coverage_factor, limits,
                     rule_of(unit.plan().recipe, check.step));
    if (conformity.expanded > 0.0 && conformity.expanded != check.expanded_uncertainty) {
        check.expanded_uncertainty = conformity.expanded;
        check.coverage_factor = conformity.expanded / measured.standard;
    }
    check.margin = conformity.margin;
    check.verdict = decided.value_or(conformity.verdict);
    if (conformity.flaw) {
        // No uncertainty is better than one that means nothing.
        check.verdict = Verdict::no_verdict;
        check.coverage_factor = check.expanded_uncertainty = 0.0;
        check.note = flaw_note(unit, check, *conformity.flaw);
        findings.gaps.push_back(check.note);
    }
    if (check.verdict == Verdict::fail || check.verdict == Verdict::inconclusive) {
        check.note = note.empty() ? note_of(unit, check) : std::move(note);
    }
    findings.checks.push_back(std::move(finding));
    return &findings.checks.back();
}

}  // namespace

Finding* add_check(Findings& findings, const Case& unit, CheckPlace place, const Measured& measured,
                   const Limits& limits) {
    return add(findings, unit, std::move(place), measured, limits, std::nullopt, {});
}

Finding* add_decided(Findings& findings, const Case& unit, CheckPlace place,
                     const Measured& measured, const Limits& limits, record::Verdict verdict,
                     std::string note) {
    return add(findings, unit, std::move(place), measured, limits, verdict, std::move(note));
}

Finding& add_condition(Findings& findings, CheckPlace place, bool holds, std::string note) {
    Finding finding;
    record::CheckResult& check = finding.check;
    check = at(std::move(place));
    check.value = holds ? 1.0 : 0.0;
    check.low = 1.0;
    check.margin = holds ? 1.0 : -1.0;
    check.verdict = holds ? Verdict::pass : Verdict::fail;
    if (!holds) check.note = std::move(note);
    findings.checks.push_back(std::move(finding));
    return findings.checks.back();
}

Finding& add_unjudged(Findings& findings, CheckPlace place, std::string note) {
    Finding finding;
    finding.check = at(std::move(place));
    finding.check.note = note;
    findings.gaps.push_back(std::move(note));
    findings.checks.push_back(std::move(finding));
    return findings.checks.back();
}

std::string figure(double value, int digits) {
    char text[32];
    // Large counts stay whole numbers instead of powers of ten.
    const bool large = std::abs(value) >= std::pow(10.0, digits) && std::abs(value) < 1e15;
    if (large) {
        std::snprintf(text, sizeof text, "%.0f", value);
    } else {
        std::snprintf(text, sizeof text, "%.*g", digits, value);
    }
    return text;
}

}  // namespace padtrim::metrology
