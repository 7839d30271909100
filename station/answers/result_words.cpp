#include "station/answers/result_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "station/answers/figures.hpp"

namespace padtrim::answers {

using record::CheckResult;
using record::UnitResult;
using record::Verdict;

namespace {

bool same(double a, double b) {
    return a == b || (std::isnan(a) && std::isnan(b));
}

bool same(const std::optional<double>& a, const std::optional<double>& b) {
    return a.has_value() == b.has_value() && (!a || same(*a, *b));
}

bool same_check(const CheckResult& a, const CheckResult& b) {
    return a.step == b.step && a.check == b.check && a.key == b.key && a.channel == b.channel &&
           a.frequency == b.frequency && a.stage == b.stage && same(a.value, b.value) &&
           a.unit == b.unit && same(a.standard_uncertainty, b.standard_uncertainty) &&
           same(a.degrees_of_freedom, b.degrees_of_freedom) &&
           same(a.coverage_factor, b.coverage_factor) &&
           same(a.expanded_uncertainty, b.expanded_uncertainty) && same(a.low, b.low) &&
           same(a.high, b.high) && same(a.margin, b.margin) && a.verdict == b.verdict &&
           a.traceability == b.traceability && a.note == b.note;
}

bool same_line(const record::ChannelLine& a, const record::ChannelLine& b) {
    return a.channel == b.channel && a.frequency == b.frequency && a.key == b.key &&
           same(a.gain, b.gain) && same(a.offset, b.offset) &&
           same(a.gain_standard, b.gain_standard) && same(a.offset_standard, b.offset_standard) &&
           same(a.covariance, b.covariance) && same(a.gain_expanded, b.gain_expanded) &&
           same(a.offset_expanded, b.offset_expanded) &&
           same(a.degrees_of_freedom, b.degrees_of_freedom);
}

std::string words_of(const CheckResult& check) {
    std::string text = check.check;
    if (!check.key.empty()) text += " of " + check.key;
    return text + " in step " + check.step;
}

}  // namespace

bool same_result(const UnitResult& a, const UnitResult& b) {
    return a.formula_version == b.formula_version && a.verdict == b.verdict &&
           a.disposition == b.disposition && a.reason == b.reason && a.next_step == b.next_step &&
           std::equal(a.checks.begin(), a.checks.end(), b.checks.begin(), b.checks.end(),
                      same_check) &&
           std::equal(a.lines.begin(), a.lines.end(), b.lines.begin(), b.lines.end(), same_line);
}

std::string first_difference(const UnitResult& stored, const UnitResult& now) {
    const std::size_t both = std::min(stored.checks.size(), now.checks.size());
    for (std::size_t i = 0; i < both; ++i) {
        const CheckResult &was = stored.checks[i], &is = now.checks[i];
        if (same_check(was, is)) continue;
        return fmt::format("{}: {:.17g} (margin {:.4g}, {}) was {:.17g} (margin {:.4g}, {}).",
                           words_of(is), is.value, is.margin, name_of(is.verdict), was.value,
                           was.margin, name_of(was.verdict));
    }
    if (stored.checks.size() != now.checks.size()) {
        return fmt::format("{} checks instead of {}.", now.checks.size(), stored.checks.size());
    }
    if (stored.verdict != now.verdict) return "Only the verdict differs: " + now.reason;
    return "Lines or sentences differ: " + now.reason;
}

ledger::CheckPlace place_of(const CheckResult& check) {
    return {check.step,      check.check, check.key, check.channel,
            check.frequency, check.stage, check.unit};
}

metrology::Limits limits_of(const CheckResult& check) {
    metrology::Limits limits;
    limits.low = check.low;
    limits.high = check.high;
    return limits;
}

std::string failing_text(const ledger::CheckPlace& place, double value,
                         const metrology::Limits& limits, Verdict verdict) {
    std::string text = place.check;
    if (!place.key.empty()) text += " of " + place.key;
    text += fmt::format(" in step {} is {:.5g}{}, allowed {}", place.step, value,
                        place.measure == "1" ? "" : " " + place.measure,
                        allowed(limits.low, limits.high));
    return text + (verdict == Verdict::inconclusive ? ": too close to tell." : ".");
}

std::string what_decides(const UnitResult& now) {
    for (const CheckResult& check : now.checks) {
        const bool decides = check.verdict == now.verdict &&
                             (now.verdict == Verdict::fail || now.verdict == Verdict::inconclusive);
        if (decides) {
            return failing_text(place_of(check), check.value, limits_of(check), check.verdict);
        }
    }
    return now.reason;
}
}  // namespace padtrim::answers
