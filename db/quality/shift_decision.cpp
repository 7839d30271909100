#include "db/quality/shift_decision.hpp"

#include <algorithm>
#include <cstdio>
#include <set>

#include "db/quality/chart_points.hpp"
#include "recipes/language/step_declarations.hpp"
#include "recipes/language/step_needs.hpp"

namespace padtrim::quality {

namespace {

using record::ChartPlace;
using record::ChartPoint;
using record::ChartState;
using record::CheckDecision;
using record::StandardOutcome;
using record::Verdict;

std::string figure(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g", value);
    return text;
}

std::string counted(std::size_t count, const char* one, const char* many) {
    return std::to_string(count) + " " + (count == 1 ? one : many);
}

bool rejected_as_wanted(const language::ChallengeUnit& rule, const record::UnitResult& result) {
    if (result.verdict != Verdict::fail) return false;
    if (rule.rejected_by.empty()) return true;
    return std::any_of(result.checks.begin(), result.checks.end(), [&](const auto& check) {
        return check.verdict == Verdict::fail &&
               std::count(rule.rejected_by.begin(), rule.rejected_by.end(), check.check) > 0;
    });
}

StandardOutcome outcome_of(const language::ShiftCheck& rule, const MeasuredStandard& unit) {
    StandardOutcome outcome;
    outcome.serial = unit.serial;
    outcome.nest = unit.nest;
    outcome.challenge = rule.is_challenge(unit.serial);
    outcome.verdict = unit.result.verdict;
    outcome.reason = unit.result.reason;
    outcome.as_wanted = outcome.challenge ? rejected_as_wanted(*rule.challenge, unit.result)
                                          : outcome.verdict == Verdict::pass ||
                                                outcome.verdict == Verdict::inconclusive;
    return outcome;
}

double departure(const ChartPoint& point) {
    const double width = point.high.value_or(point.centre) - point.low.value_or(point.centre);
    const double scale = point.sigma > 0.0 ? point.sigma : width > 0.0 ? width : 1.0;
    return std::abs(point.value - point.centre) / scale;
}

std::string allowed(const ChartPoint& point) {
    const std::string unit = " " + point.unit;
    if (!point.low) return "at most " + figure(*point.high) + unit;
    if (!point.high) return "at least " + figure(*point.low) + unit;
    return figure(*point.low) + " to " + figure(*point.high) + unit;
}

// Who shows it: what several standards share is the station's.
std::string whose(const language::ShiftCheck& rule, const std::vector<ChartPoint>& beyond,
                  const ChartPoint& worst) {
    std::set<std::string> showing, watching;
    for (const ChartPoint& point : beyond)
        if (point.place.check == worst.place.check && point.place.nest == worst.place.nest)
            showing.insert(point.place.serial);
    for (const auto& standard : rule.standards)
        if (std::count(standard.checks.begin(), standard.checks.end(), worst.place.check) > 0)
            watching.insert(standard.serial);
    if (watching.size() < 2)
        return "One check standard cannot tell a change of its own from one of the station.";
    if (showing.size() > 1)
        return counted(showing.size(), "check standard shows", "check standards show") +
               " it, so the station has changed.";
    return "Only " + worst.place.serial + " shows it: that check standard may have changed itself.";
}

// Several channels changed at one sensing frequency, and at no other: something disturbs it.
bool at_one_frequency(const std::vector<ChartPoint>& all, const std::vector<ChartPoint>& beyond) {
    constexpr std::size_t several = 3;
    const int frequency = beyond.front().place.frequency;
    std::set<int> channels, frequencies;
    for (const ChartPoint& point : all) frequencies.insert(point.place.frequency);
    for (const ChartPoint& point : beyond) {
        if (point.place.frequency != frequency) return false;
        channels.insert(point.place.channel);
    }
    return frequencies.size() > 1 && channels.size() >= several;
}

std::string way_out(const ChartPoint& worst, bool disturbed) {
    const std::string nest = std::to_string(worst.place.nest);
    std::string look;
    if (disturbed || language::doubt_of(worst.place.check) == language::Doubt::of_scatter)
        look = "Look for a source of disturbance near nest " + nest + ".";
    else if (language::is_of_finger(worst.place.check))
        look = "Look at the dummy finger: a worn or bent tip, its place and its height over nest " +
               nest + ".";
    else
        look = "Look at the references, pins and wiring of nest " + nest +
               "; padtrim reference measure tells a reference that changed.";
    return look +
           " Mend it and repeat the shift check. If the change is meant to be, begin new charts "
           "(padtrim shift-check --new-charts).";
}

void block_by_charts(record::ShiftCheck& check, const language::ShiftCheck& rule,
                     std::vector<ChartPoint> beyond, std::size_t deciding) {
    const ChartPoint worst =
        *std::max_element(beyond.begin(), beyond.end(),
                          [](const auto& a, const auto& b) { return departure(a) < departure(b); });
    check.decision = CheckDecision::blocked;
    check.cause = counted(beyond.size(), "value", "values") + " of " + std::to_string(deciding) +
                  (beyond.size() == 1 ? " is" : " are") +
                  " beyond the control limits. Worst: " + words_of(worst.place) + " is " +
                  figure(worst.value) + " " + worst.unit + "; its chart allows " + allowed(worst) +
                  ". " + whose(rule, beyond, worst);
    if (at_one_frequency(check.points, beyond))
        check.cause +=
            " All are of sensing frequency " + std::to_string(worst.place.frequency) + ".";
    check.next_step = way_out(worst, at_one_frequency(check.points, beyond));
}

void block_by_challenge(record::ShiftCheck& check, const language::ChallengeUnit& rule,
                        const StandardOutcome& outcome) {
    check.decision = CheckDecision::blocked;
    const std::string which =
        "The challenge unit " + outcome.serial + " in nest " + std::to_string(outcome.nest);
    if (outcome.verdict == Verdict::fail) {
        std::string names;
        for (const auto& name : rule.rejected_by) names += (names.empty() ? "" : " or ") + name;
        check.cause = which + " was rejected, but not by " + names + ": " + outcome.reason;
    } else {
        check.cause = which + " is known to be bad and was not rejected: " +
                      std::string(record::name_of(outcome.verdict)) + ". " + outcome.reason;
    }
    check.next_step =
        "Do not produce: bad units would pass. See that the right unit lies in the nest and that "
        "nobody widened a limit, then repeat the shift check.";
}

void block_by_standard(record::ShiftCheck& check, const StandardOutcome& outcome) {
    check.decision = CheckDecision::blocked;
    check.cause = "The check standard " + outcome.serial + " in nest " +
                  std::to_string(outcome.nest) + " is a good unit and came to " +
                  std::string(record::name_of(outcome.verdict)) + ": " + outcome.reason;
    check.next_step = "Mend what is said there, then repeat the shift check.";
}

void let_work(record::ShiftCheck& check, const Charted& charts, std::size_t deciding) {
    check.decision = CheckDecision::ready;
    check.cause = counted(deciding, "value", "values") + " within the control limits.";
    if (check.learned < check.baseline)
        check.cause = "The charts learn: this was measurement " +
                      std::to_string(check.learned + 1) + " of " + std::to_string(check.baseline) +
                      ". " +
                      (deciding > 0 ? check.cause : "No value was compared with limits yet.");
    for (const std::string& name : charts.still)
        check.cause += " The baseline of " + name +
                       " does not scatter, so it has no limits; state "
                       "them in the profile.";
    check.next_step = "Produce.";
}

}  // namespace

std::string words_of(const ChartPlace& place) {
    std::string text = place.check;
    if (!place.key.empty()) text += " at key " + place.key;
    if (place.channel >= 0) text += ", channel " + std::to_string(place.channel);
    if (place.frequency >= 0) text += ", frequency " + std::to_string(place.frequency);
    return text + ", of " + place.serial + " in nest " + std::to_string(place.nest);
}

void decide(record::ShiftCheck& check, const language::ShiftCheck& rule,
            const std::vector<MeasuredStandard>& measured, const ChartHistory& history) {
    Charted charts = charted(rule, measured, history);
    check.baseline = rule.baseline;
    check.learned = charts.learned;
    check.points = charts.points;
    check.standards.clear();
    for (const MeasuredStandard& unit : measured) check.standards.push_back(outcome_of(rule, unit));
    const auto wrong = [&](bool challenge) {
        return std::find_if(check.standards.begin(), check.standards.end(), [&](const auto& each) {
            return each.challenge == challenge && !each.as_wanted;
        });
    };
    std::vector<ChartPoint> beyond;
    std::size_t deciding = 0;
    for (const ChartPoint& point : check.points) {
        if (point.state != ChartState::learning) ++deciding;
        if (point.state == ChartState::beyond) beyond.push_back(point);
    }
    const auto standard = wrong(false), challenge = wrong(true);
    if (!beyond.empty()) {
        block_by_charts(check, rule, std::move(beyond), deciding);
        if (standard != check.standards.end())
            check.cause += " And " + standard->serial + " is rejected: " + standard->reason;
    } else if (standard != check.standards.end()) {
        block_by_standard(check, *standard);
    } else if (challenge != check.standards.end()) {
        block_by_challenge(check, *rule.challenge, *challenge);
    } else {
        let_work(check, charts, deciding);
    }
}

}  // namespace padtrim::quality
