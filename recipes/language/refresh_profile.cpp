#include "recipes/language/refresh_profile.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>
#include <vector>

#include "recipes/document/document.hpp"
#include "recipes/document/text_editor.hpp"
#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

using document::List;
using document::Node;
using document::TextEditor;

constexpr int fewest_digits = 4;
constexpr int most_digits = 9;

std::string fixed(double value, int digits) {
    char text[64];
    const int size = std::snprintf(text, sizeof text, "%.*f", digits, value);
    return {text, static_cast<std::size_t>(size)};
}

// Never less than the doubt there is.
std::string rounded_up(double value) {
    const double scale = std::pow(10.0, fewest_digits);
    return '"' + fixed(std::ceil(value * scale - 1e-9) / scale, fewest_digits) + " pF\"";
}

int digits_of(const std::string& text) {
    const auto point = text.find('.');
    if (point == std::string::npos) return fewest_digits;
    int digits = 0;
    for (std::size_t at = point + 1; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at)
        ++digits;
    return std::clamp(digits, fewest_digits, most_digits);
}

std::string in_toml(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

const List* list_of(const Node* node) {
    return node == nullptr ? nullptr : std::get_if<List>(&node->value);
}

std::string text_of(const Node* node) {
    const auto* text = node == nullptr ? nullptr : std::get_if<std::string>(&node->value);
    return text == nullptr ? std::string() : *text;
}

std::int64_t whole_of(const Node* node) {
    const auto* number = node == nullptr ? nullptr : std::get_if<std::int64_t>(&node->value);
    return number == nullptr ? -1 : *number;
}

// One row of a rule: the values of one nest.
template <class ValueOf>
void put_row(TextEditor& editor, const Node& row, const ValueOf& value_of) {
    const std::string old = text_of(&row);
    const int digits = digits_of(old);
    std::string text;
    for (std::uint16_t channel = 0;; ++channel) {
        const auto value = value_of(channel);
        if (!value) break;
        text += fixed(*value, digits) + ' ';
    }
    if (!text.empty()) editor.replace(&row, '"' + text + "pF\"");
}

void put_common(TextEditor& editor, const Node& table, double common) {
    const Node* old = table.find("common_relative");
    char text[32];
    std::snprintf(text, sizeof text, "%.9g", common);
    if (old != nullptr) return editor.replace(old, text);
    const Node* beside = table.find("expanded_uncertainty");
    if (common > 0.0 && beside != nullptr)
        editor.add_behind(*beside, std::string("common_relative = ") + text);
}

class RenewedValues {
  public:
    RenewedValues(const FixtureProfile& fixture, const EquipmentRecord& record)
        : fixture_(fixture), record_(record) {}

    void put_reference(TextEditor& editor, const Node& rule) const {
        const std::string name = text_of(rule.find("name"));
        double doubt = 0.0, common = 0.0;
        for (const CharacterisedStep& step : record_.steps) {
            if (step.reference != name) continue;
            doubt = std::max(doubt, step.expanded_uncertainty.value());
            common = step.common_relative;
        }
        put_tips(editor, rule, [&](std::uint16_t nest, std::uint16_t channel) {
            const auto* step = record_.step(nest, channel, name);
            return step == nullptr ? std::nullopt : std::optional(step->value.value());
        });
        editor.replace(rule.find("expanded_uncertainty"), rounded_up(doubt));
        put_common(editor, rule, common);
    }
    void put_part(TextEditor& editor, const Node& rule) const {
        double doubt = 0.0;
        for (const FixturePart& part : record_.fixture_parts)
            doubt = std::max(doubt, part.expanded_uncertainty.value());
        put_tips(editor, rule, [&](std::uint16_t nest, std::uint16_t channel) {
            const auto* part = record_.fixture_part(nest, channel);
            return part == nullptr ? std::nullopt : std::optional(part->value.value());
        });
        editor.replace(rule.find("expanded_uncertainty"), rounded_up(doubt));
    }
    void put_entry(TextEditor& editor, const Node& entry) const {
        const auto nest = static_cast<std::uint16_t>(whole_of(entry.find("nest")));
        const auto channel = static_cast<std::uint16_t>(whole_of(entry.find("channel")));
        const std::string name = text_of(entry.find("reference"));
        if (const auto* step = record_.step(nest, channel, name)) {
            put_value(editor, entry, step->value, step->expanded_uncertainty);
            put_common(editor, entry, step->common_relative);
        } else if (const auto* part = record_.fixture_part(nest, channel)) {
            put_value(editor, entry, part->value, part->expanded_uncertainty);
        }
    }

  private:
    template <class ValueOf>
    void put_tips(TextEditor& editor, const Node& rule, const ValueOf& value_of) const {
        const List* rows = list_of(rule.find("tips"));
        if (rows == nullptr) return;
        for (std::size_t at = 0; at < std::min(rows->size(), fixture_.nests.size()); ++at)
            put_row(editor, (*rows)[at], [&](std::uint16_t channel) {
                return value_of(fixture_.nests[at].number, channel);
            });
    }
    static void put_value(TextEditor& editor, const Node& entry, Picofarad value, Picofarad doubt) {
        const Node* old = entry.find("value");
        editor.replace(old, '"' + fixed(value.value(), digits_of(text_of(old))) + " pF\"");
        editor.replace(entry.find("expanded_uncertainty"), rounded_up(doubt.value()));
    }
    const FixtureProfile& fixture_;
    const EquipmentRecord& record_;
};

void for_each_item(const Node* list, const auto& put) {
    if (const List* items = list_of(list))
        for (const Node& item : *items) put(item);
}

// Half a unit of the fewest digits, and a little for binary fractions.
bool about(Picofarad wanted, Picofarad found) {
    return std::abs(wanted.value() - found.value()) < 0.51 * std::pow(10.0, -fewest_digits);
}

// Whether the values are those wanted and no doubt became smaller; then `found`'s are put aside.
bool says(EquipmentRecord& found, const EquipmentRecord& wanted) {
    if (found.steps.size() != wanted.steps.size() ||
        found.fixture_parts.size() != wanted.fixture_parts.size())
        return false;
    const auto fits = [](auto& is, const auto& shall) {
        const bool good =
            about(shall.value, is.value) &&
            is.expanded_uncertainty.value() > 0.9999 * shall.expanded_uncertainty.value();
        is.value = shall.value;
        is.expanded_uncertainty = shall.expanded_uncertainty;
        return good;
    };
    for (std::size_t at = 0; at < found.steps.size(); ++at)
        if (!fits(found.steps[at], wanted.steps[at])) return false;
    for (std::size_t at = 0; at < found.fixture_parts.size(); ++at)
        if (!fits(found.fixture_parts[at], wanted.fixture_parts[at])) return false;
    return true;
}

}  // namespace

RefreshedProfile refreshed_profile(const std::string& text, const std::string& file_name,
                                   const EquipmentRecord& record) {
    const auto before = read_fixture_profile(text, file_name);
    if (!before.value) return {"", file_name + " is not a sound fixture profile."};
    const document::Document read(file_name, text);
    const Node* equipment = read.root().find("equipment");
    if (equipment == nullptr) return {"", file_name + " has no [equipment]."};
    TextEditor editor(text);
    const EquipmentRecord& old = before.value->equipment;
    if (record.certificate != old.certificate)
        editor.replace(equipment->find("certificate"), in_toml(record.certificate));
    if (record.characterised_on != old.characterised_on)
        editor.replace(equipment->find("characterised_on"), record.characterised_on);
    if (record.recalibration_due != old.recalibration_due)
        editor.replace(equipment->find("recalibration_due"), record.recalibration_due);
    if (record.temperature != old.temperature)
        editor.replace(equipment->find("temperature"),
                       '"' + fixed(record.temperature.value(), 1) + " degC\"");
    const RenewedValues renewed(*before.value, record);
    for_each_item(equipment->find("reference"),
                  [&](const Node& rule) { renewed.put_reference(editor, rule); });
    if (const Node* rule = equipment->find("fixture_part")) renewed.put_part(editor, *rule);
    for (const char* list : {"step", "part"})
        for_each_item(equipment->find(list),
                      [&](const Node& entry) { renewed.put_entry(editor, entry); });

    RefreshedProfile out{editor.text(), ""};
    const auto after = read_fixture_profile(out.text, file_name);
    FixtureProfile wanted = *before.value;
    wanted.equipment = record;
    auto found = after.value;
    if (found && says(found->equipment, record)) {
        found->equipment.temperature = record.temperature;  // to a tenth of a degree
        if (*found == wanted) return out;
    }
    return {"", "the new values cannot be written into " + file_name +
                    " as it is laid out. Write each value of [equipment] as a plain text on a "
                    "line, as the shipped profiles do."};
}

}  // namespace padtrim::language
