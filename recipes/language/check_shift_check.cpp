// Check standards and the challenge unit: by themselves, and with what a recipe makes of them.
#include <algorithm>
#include <set>

#include "recipes/document/nearest.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {
namespace {

using document::Document;

constexpr const char* list = "shift_check.standard";
constexpr const char* challenge = "shift_check.challenge";
// Three standards tell a change of the station from one of a standard, by a majority. More only
// take time: common practice, no source.
constexpr std::size_t most_standards = 3;

class Serials {
  public:
    explicit Serials(Document& document) : document_(document) {}
    void take(const std::string& path, const std::string& serial) {
        if (!document_.sound(path)) return;
        if (!seen_.insert(serial).second)
            document_.complain(path,
                               "two of these units have the serial number " + in_quotes(serial),
                               "Each unit watches the station in one role.");
    }

  private:
    Document& document_;
    std::set<std::string> seen_;
};

void check_repeats(Document& document, const std::string& path,
                   const std::vector<std::string>& names) {
    if (!document.sound(path)) return;
    std::set<std::string> seen;
    for (std::size_t i = 0; i < names.size(); ++i)
        if (!seen.insert(names[i]).second)
            document.complain(document::path_item(path, i),
                              in_quotes(names[i]) + " stands here twice", "Name each check once.");
}

void check_standard(Document& document, std::size_t index, const CheckStandard& standard) {
    const std::string checks = item_path(list, index, "checks");
    if (document.sound(checks) && standard.checks.empty())
        document.complain(checks, "nothing of this check standard would be looked at",
                          "Name checks, such as \"gain\".");
    check_repeats(document, checks, standard.checks);
    for (std::size_t i = 0; i < standard.limits.size(); ++i) {
        const ChartLimit& limit = standard.limits[i];
        const auto at = document::path_item(item_path(list, index, "limit"), i);
        const bool charted =
            std::count(standard.checks.begin(), standard.checks.end(), limit.check);
        if (document.sound(at + ".check") && document.sound(checks) && !charted)
            document.complain(
                at + ".check",
                "there is no chart of " + in_quotes(limit.check) + " for these limits",
                "Add it to the standard's checks.");
        if (document.sound(at + ".allowed") && limit.low && limit.high && *limit.low >= *limit.high)
            document.complain(at + ".allowed", "nothing lies between these limits",
                              "Write the smaller one first.");
    }
}

// Checks that stand in the results of a unit that is measured only.
bool is_measured(const Recipe& recipe, const std::string& check) {
    return std::any_of(recipe.steps.begin(), recipe.steps.end(), [&](const Step& step) {
        if (std::holds_alternative<VerifyStep>(step.body)) return false;
        const auto limit = limit_of(step.body, check);
        return limit.low || limit.high;
    });
}

void want_measured(Desk desk, const std::string& path, const std::vector<std::string>& checks) {
    Document& document = desk.fixture.document;
    for (std::size_t i = 0; i < checks.size(); ++i) {
        const auto at = document::path_item(path, i);
        if (!document.sound(at) || is_measured(desk.recipe.value, checks[i])) continue;
        document.complain(at,
                          "the recipe has no step with a limit on " + in_quotes(checks[i]) +
                              " that measures without writing",
                          "Name checks of the recipe, or give the step its limit.");
    }
}

void want_keys(Desk desk, const std::string& path, const std::vector<std::string>& keys) {
    if (!desk.map.document.sound("key") || !desk.fixture.document.sound(path)) return;
    std::vector<std::string_view> names;
    for (const auto& key : desk.map.value.keys) names.push_back(key.name);
    for (std::size_t i = 0; i < keys.size(); ++i)
        if (std::find(names.begin(), names.end(), keys[i]) == names.end())
            desk.fixture.document.complain(document::path_item(path, i),
                                           "the product has no key " + in_quotes(keys[i]),
                                           document::suggestion(keys[i], names));
}

}  // namespace

void check_shift_check(Document& document, const ShiftCheck& check) {
    if (!document.sound("shift_check")) return;
    if (check.standards.empty())
        return document.complain(list, "no check standard is named here",
                                 "Add a [[shift_check.standard]] table.");
    if (check.standards.size() > most_standards)
        document.complain(
            item_path(list, most_standards),
            "this is one check standard too many; there may be " + std::to_string(most_standards),
            "Leave the least stable one out.");
    Serials serials(document);
    for (std::size_t i = 0; i < check.standards.size(); ++i) {
        serials.take(item_path(list, i, "serial"), check.standards[i].serial);
        check_standard(document, i, check.standards[i]);
    }
    if (!check.challenge) return;
    serials.take(std::string(challenge) + ".serial", check.challenge->serial);
    check_repeats(document, std::string(challenge) + ".rejected_by", check.challenge->rejected_by);
}

void check_watching(Desk desk) {
    const auto& check = desk.fixture.value.shift_check;
    if (!check || !desk.fixture.document.sound("shift_check") ||
        !desk.recipe.document.sound("step"))
        return;
    for (std::size_t i = 0; i < check->standards.size(); ++i) {
        const CheckStandard& standard = check->standards[i];
        want_measured(desk, item_path(list, i, "checks"), standard.checks);
        for (std::size_t e = 0; e < standard.limits.size(); ++e)
            want_keys(desk, document::path_item(item_path(list, i, "limit"), e) + ".keys",
                      standard.limits[e].keys);
    }
    if (check->challenge)
        want_measured(desk, std::string(challenge) + ".rejected_by", check->challenge->rejected_by);
}

}  // namespace padtrim::language
