// The layout of [shift_check] in a fixture profile.
#include <chrono>

#include "recipes/document/nearest.hpp"
#include "recipes/document/node.hpp"
#include "recipes/language/layouts.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {

using document::between;
using document::Fields;
using document::may;
using document::must;

namespace {

constexpr double minute_ms = 60'000.0, month_ms = 31.0 * 24 * 60 * minute_ms;

// A check that is measured and has a unit, or nothing.
const CheckDeclaration* measured_check(const std::string& name) {
    for (const auto& step : step_declarations())
        for (const auto& check : step.checks)
            if (check.name == name && !check.unit.empty()) return &check;
    return nullptr;
}

std::string suggested(const std::string& name) {
    std::vector<std::string_view> known;
    for (const auto& step : step_declarations())
        for (const auto& check : step.checks)
            if (!check.unit.empty() &&
                std::find(known.begin(), known.end(), check.name) == known.end())
                known.push_back(check.name);
    return document::suggestion(name, known);
}

void want_checks(Fields& f, const std::string& key, const std::vector<std::string>& names) {
    if (!f.reading()) return;
    for (std::size_t i = 0; i < names.size(); ++i)
        if (measured_check(names[i]) == nullptr)
            f.complain(document::path_item(key, i), "no step measures a check \"" + names[i] + "\"",
                       suggested(names[i]));
}

void describe_limit(Fields& f, ChartLimit& limit) {
    f.add(must("check", "as results name it"), limit.check);
    f.add(may("keys", "on these keys; on all when left out"), limit.keys);
    const CheckDeclaration* check = measured_check(limit.check);
    if (f.reading() && check == nullptr) {
        if (!limit.check.empty())
            f.complain("check", "no step measures a check \"" + limit.check + "\"",
                       suggested(limit.check));
        return f.ignore_rest();
    }
    document::Limit allowed{limit.low, limit.high};
    f.limit(must("allowed", "in the check's own unit"), allowed,
            check != nullptr ? check->unit : "counts/pF");
    limit.low = allowed.low;
    limit.high = allowed.high;
}

}  // namespace

void describe(Fields& f, ChartLimit& limit) {
    describe_limit(f, limit);
}

void describe(Fields& f, CheckStandard& standard) {
    f.add(must("serial", "its electronic serial number"), standard.serial);
    f.add(
        must("checks", "what is kept on control charts, one for each channel or key and frequency"),
        standard.checks);
    want_checks(f, "checks", standard.checks);
    if (f.present("limit", !standard.limits.empty()))
        f.add(may("limit", "limits that are stated instead of learned"), standard.limits);
}

void describe(Fields& f, ChallengeUnit& unit) {
    f.add(must("serial", "its electronic serial number"), unit.serial);
    if (f.present("rejected_by", !unit.rejected_by.empty()))
        f.add(may("rejected_by", "checks one of which must reject it; any when left out"),
              unit.rejected_by);
    want_checks(f, "rejected_by", unit.rejected_by);
}

void describe(Fields& f, ShiftCheck& check) {
    f.add(may("valid", "production needs a good check that is no older"), check.valid,
          between(minute_ms, month_ms));
    f.add(may("baseline",
              "measurements of each standard from which centre and limits of its charts are "
              "learned"),
          check.baseline, between(3, 100));
    f.add(must("standard", "check standards, one to three: stable units, never written to"),
          check.standards);
    f.add(may("challenge", "a unit known to be bad, that must be rejected; never written to"),
          check.challenge);
}

}  // namespace padtrim::language
