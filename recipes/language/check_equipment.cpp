// The equipment record by itself: dates, names, and values that cannot be what a meter showed.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "recipes/document/nearest.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

using document::Document;
using document::Node;

// The bounds below find slips of the decimal point and of the unit: common practice, no source.

// Tips of one reference are made alike; wiring spreads them, and never by this factor.
constexpr double widest_spread = 2.0;
// What a connected contact adds depends on its wiring, so it spreads more.
constexpr double widest_spread_of_parts = 10.0;
constexpr double least_relative_uncertainty = 1e-6;
constexpr double largest_common_relative = 0.1;
constexpr PartsPerMillionPerKelvin largest_coefficient(10'000.0);

// A date of another order than the calendar's is a mistake of typing.
void check_dates(Document& document, const EquipmentRecord& equipment) {
    const bool sound = document.sound("equipment.characterised_on") &&
                       document.sound("equipment.recalibration_due");
    if (sound && equipment.recalibration_due <= equipment.characterised_on)
        document.complain(
            "equipment.recalibration_due",
            "recalibration is due before the characterisation, " + equipment.characterised_on,
            "Check both dates.");
}

std::string on_tip(std::uint16_t nest, std::uint16_t channel) {
    return " on nest " + std::to_string(nest) + ", channel " + std::to_string(channel);
}

// One message a reference would be many for one mistake.
void check_doubts(Document& document, const EquipmentRecord& equipment) {
    if (!document.sound("equipment")) return;
    for (const auto& step : equipment.steps) {
        const double expanded = step.expanded_uncertainty.value(), value = step.value.value();
        const auto at = tip_path(document, step);
        const std::string where = step.reference + on_tip(step.nest, step.channel);
        if (expanded >= value)
            return document.complain(at,
                                     "the uncertainty of " + where + " is as large as its value",
                                     "Check expanded_uncertainty and the values.");
        if (expanded < least_relative_uncertainty * value)
            return document.complain(
                at + ".expanded_uncertainty",
                "nobody knows " + where + " to " + document::quantity_text(expanded, "pF"),
                "Write what the certificate says.");
        if (step.common_relative > largest_common_relative)
            return document.complain(at + ".common_relative",
                                     "a meter that is wrong by " +
                                         document::rounded(100.0 * step.common_relative) +
                                         " % of its value says nothing",
                                     "Write a part of the value, 0.0006 for 0.06 %, say.");
        if (step.common_relative * value > expanded / step.coverage_factor)
            return document.complain(
                at + ".common_relative",
                "the common part of the uncertainty of " + where + " is larger than the whole",
                "Check common_relative, expanded_uncertainty and "
                "coverage_factor.");
    }
    for (const auto& part : equipment.fixture_parts)
        if (part.expanded_uncertainty >= part.value)
            return document.complain("equipment.fixture_part",
                                     "the uncertainty of the fixture's own part" +
                                         on_tip(part.nest, part.channel) +
                                         " is as large as its value",
                                     "Check expanded_uncertainty and the values.");
}

double median_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t middle = values.size() / 2;
    return values.size() % 2 == 1 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

bool is_far(double value, double median, double factor) {
    return value > factor * median || value * factor < median;
}

// The row of a rule, or the value of an explicit entry.
std::string value_path(const Document& document, const FixtureProfile& fixture,
                       const CharacterisedStep& step) {
    const auto at = tip_path(document, step);
    if (!at.starts_with("equipment.reference")) return at + ".value";
    for (std::size_t row = 0; row < fixture.nests.size(); ++row)
        if (fixture.nests[row].number == step.nest) return document::path_item(at + ".tips", row);
    return at;
}

void check_spread(Document& document, const FixtureProfile& fixture) {
    if (!document.sound("equipment") || !document.sound("nest")) return;
    std::map<std::string, std::vector<double>> values;
    for (const auto& step : fixture.equipment.steps)
        values[step.reference].push_back(step.value.value());
    std::map<std::string, double> medians;
    for (const auto& [name, all] : values) medians[name] = median_of(all);
    std::set<std::string> told;
    for (const auto& step : fixture.equipment.steps) {
        const double median = medians[step.reference];
        if (!is_far(step.value.value(), median, widest_spread)) continue;
        if (!told.insert(step.reference).second) continue;
        document.complain(value_path(document, fixture, step),
                          step.reference + on_tip(step.nest, step.channel) + " is " +
                              document::quantity_text(step.value.value(), "pF") +
                              "; the median of " + step.reference + " is " +
                              document::rounded(median) + " pF",
                          "Check the decimal point and the order of the values.");
    }
}

void check_parts(Document& document, const EquipmentRecord& equipment) {
    if (!document.sound("equipment") || equipment.fixture_parts.empty()) return;
    std::vector<double> values;
    for (const auto& part : equipment.fixture_parts) values.push_back(part.value.value());
    const double median = median_of(values);
    for (const auto& part : equipment.fixture_parts) {
        if (!is_far(part.value.value(), median, widest_spread_of_parts)) continue;
        return document.complain("equipment.fixture_part",
                                 "the fixture's own part" + on_tip(part.nest, part.channel) +
                                     " is " + document::quantity_text(part.value.value(), "pF") +
                                     "; the median of all is " + document::rounded(median) + " pF",
                                 "Check the decimal point and the unit.");
    }
}

// What stands at `key` of each table of a list, "" where it is no text.
std::vector<std::string> texts_of(const Document& document, const std::string& list,
                                  std::string_view key) {
    std::vector<std::string> texts;
    const auto* entries =
        std::get_if<document::List>(&document::nearest_node(document.root(), list).value);
    for (std::size_t i = 0; entries != nullptr && i < entries->size(); ++i) {
        const Node* node = (*entries)[i].find(key);
        const auto* text = node ? std::get_if<std::string>(&node->value) : nullptr;
        texts.push_back(text != nullptr ? *text : std::string());
    }
    return texts;
}

// A second rule of one name would take the place of the first without a word; an entry with a
// misspelt name would leave the rule's value standing.
void check_names(Document& document, const FixtureProfile& fixture) {
    const auto rules = texts_of(document, "equipment.reference", "name");
    const std::set<std::string> known(rules.begin(), rules.end());
    std::set<std::string> seen;
    for (std::size_t i = 0; i < rules.size(); ++i) {
        const auto path = item_path("equipment.reference", i, "name");
        if (document.sound(path) && !seen.insert(rules[i]).second)
            document.complain(path, "two references have the name " + in_quotes(rules[i]),
                              "Give each reference a name of its own.");
    }
    std::map<std::string, std::size_t> tips;
    for (const auto& step : fixture.equipment.steps) ++tips[step.reference];
    std::size_t all = 0;
    for (const auto& [name, count] : tips) all = std::max(all, count);
    const auto entries = texts_of(document, "equipment.step", "reference");
    for (std::size_t i = 0; i < entries.size(); ++i) {
        const auto path = item_path("equipment.step", i, "reference");
        if (known.empty() || known.contains(entries[i]) || tips[entries[i]] >= all ||
            !document.sound(path))
            continue;
        const std::vector<std::string_view> words(known.begin(), known.end());
        document.complain(path,
                          "no rule describes a reference " + in_quotes(entries[i]) +
                              ", and not every tip has an entry for it",
                          document::suggestion(entries[i], words));
    }
}

void check_coefficient(Document& document, const std::string& key,
                       PartsPerMillionPerKelvin coefficient) {
    const auto path = "equipment." + key;
    if (std::abs(coefficient.value()) <= largest_coefficient.value() || !document.sound(path))
        return;
    document.complain(path, "a reference that changes by more than 1 % a kelvin is none",
                      "Write ppm/K: 30 ppm/K is 0.003 % a kelvin.");
}

}  // namespace

void check_equipment(Document& document, const FixtureProfile& fixture) {
    const auto& equipment = fixture.equipment;
    check_dates(document, equipment);
    check_coefficient(document, "temperature_coefficient", equipment.temperature_coefficient);
    check_coefficient(document, "temperature_coefficient_half_width",
                      equipment.temperature_coefficient_half_width);
    check_names(document, fixture);
    if (document.sound("equipment") && equipment.steps.empty())
        return document.complain("equipment", "no reference is described",
                                 "Add [[equipment.reference]] tables.");
    check_spread(document, fixture);
    check_parts(document, equipment);
    check_doubts(document, equipment);
}

}  // namespace padtrim::language
