// The recipe's references against the fixture's equipment record.
#include <algorithm>
#include <cmath>

#include "recipes/document/nearest.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/quantity/settling.hpp"

namespace padtrim::language {
namespace {

// Part of a step that may be missing when the sensor stops charging; beyond it a reference is not
// the reference that was characterised.
constexpr double largest_unsettled_part = 1e-3;

struct Use {
    std::string path;  // in the recipe
    std::string reference;
};

std::string on_tip(std::uint16_t nest, std::uint16_t channel) {
    return "nest " + std::to_string(nest) + ", channel " + std::to_string(channel);
}

std::string rounded(double value) {
    return document::number_text(std::round(value * 1e4) / 1e4);
}

// Where a step names references; nothing when it could not be read.
std::vector<Use> uses_of(const Reading<Recipe>& recipe, std::size_t index) {
    const auto& body = recipe.value.steps[index].body;
    std::vector<Use> uses;
    if (const auto* fit = std::get_if<GainOffsetStep>(&body)) {
        const auto path = item_path("step", index, "references");
        for (std::size_t i = 0; i < fit->references.size(); ++i)
            uses.push_back({document::path_item(path, i), fit->references[i]});
    } else {
        const auto* contact = std::get_if<ContactStep>(&body);
        const auto* verify = std::get_if<VerifyStep>(&body);
        if (contact == nullptr && verify == nullptr) return uses;
        uses.push_back({item_path("step", index, "reference"),
                        contact != nullptr ? contact->reference : verify->reference});
    }
    std::erase_if(uses, [&](const Use& use) { return !recipe.document.sound(use.path); });
    return uses;
}

std::vector<std::string_view> known_references(const EquipmentRecord& equipment) {
    std::vector<std::string_view> names;
    for (const auto& step : equipment.steps)
        if (std::find(names.begin(), names.end(), step.reference) == names.end())
            names.push_back(step.reference);
    return names;
}

// False, with a message, when the fixture does not have this reference at every tip.
bool check_wired(Desk desk, const Use& use) {
    const auto& fixture = desk.fixture.value;
    const auto names = known_references(fixture.equipment);
    if (std::find(names.begin(), names.end(), use.reference) == names.end()) {
        desk.recipe.document.complain(use.path,
                                      "the fixture has no reference " + quoted(use.reference),
                                      document::suggestion(use.reference, names));
        return false;
    }
    for (const auto& nest : fixture.nests)
        for (std::uint16_t channel = 0; channel < desk.map.value.channels; ++channel) {
            if (fixture.equipment.step(nest.number, channel, use.reference) != nullptr) continue;
            desk.recipe.document.complain(
                use.path,
                "the fixture has no " + use.reference + " on " + on_tip(nest.number, channel),
                "Describe it in " + desk.fixture.document.file() + ", or use another reference.");
            return false;
        }
    return true;
}

// Two references that cannot be told apart do not make two points of a line.
void check_distinct(Desk desk, std::size_t index, const std::vector<Use>& uses) {
    const auto& equipment = desk.fixture.value.equipment;
    for (const auto& nest : desk.fixture.value.nests)
        for (std::uint16_t channel = 0; channel < desk.map.value.channels; ++channel)
            for (std::size_t a = 0; a < uses.size(); ++a)
                for (std::size_t b = 0; b < a; ++b) {
                    const auto* one = equipment.step(nest.number, channel, uses[a].reference);
                    const auto* two = equipment.step(nest.number, channel, uses[b].reference);
                    const double apart = std::abs((one->value - two->value).value());
                    if (apart > (one->expanded_uncertainty + two->expanded_uncertainty).value())
                        continue;
                    return desk.recipe.document.complain(
                        item_path("step", index, "references"),
                        two->reference + " and " + one->reference + " cannot be told apart on " +
                            on_tip(nest.number, channel) + ": they differ by " + rounded(apart) +
                            " pF",
                        "Use references that differ by more than their uncertainties.");
                }
}

// A reference beyond those of the fit would verify an extrapolation.
void check_inside_span(Desk desk, const Use& held_out, const GainOffsetStep& fit) {
    const auto& equipment = desk.fixture.value.equipment;
    for (const auto& nest : desk.fixture.value.nests)
        for (std::uint16_t channel = 0; channel < desk.map.value.channels; ++channel) {
            Picofarad largest;
            for (const auto& name : fit.references)
                if (const auto* step = equipment.step(nest.number, channel, name))
                    largest = std::max(largest, step->value);
            const auto* held = equipment.step(nest.number, channel, held_out.reference);
            if (held == nullptr || largest.value() <= 0.0 || held->value <= largest) continue;
            return desk.recipe.document.complain(
                held_out.path,
                held_out.reference + " is larger than every reference of the fit on " +
                    on_tip(nest.number, channel) + ", so it verifies an extrapolation",
                "Hold out a reference between them.");
        }
}

struct Unsettled {
    double part = 0.0;
    std::string where;
};

// The slowest branch of a step: the fixture's own part and the reference behind the resistor. The
// electrode's own capacitance is not known here, so the true part is larger still.
Unsettled slowest(Desk desk, const std::vector<Use>& uses) {
    const auto& fixture = desk.fixture.value;
    Unsettled worst;
    for (const auto frequency : desk.map.value.frequencies)
        for (const auto& use : uses)
            for (const auto& step : fixture.equipment.steps) {
                if (step.reference != use.reference) continue;
                const auto* own = fixture.equipment.fixture_part(step.nest, step.channel);
                const Picofarad load = step.value + (own ? own->value : Picofarad());
                const double part =
                    unsettled_part(charge_time(frequency), fixture.series_resistor, load);
                if (part <= worst.part) continue;
                worst = {part, step.reference + " on " + on_tip(step.nest, step.channel) + " at " +
                                   document::quantity_text(frequency.value(), "kHz")};
            }
    return worst;
}

void check_settling(Desk desk, std::size_t index, const std::vector<Use>& uses) {
    const auto worst = slowest(desk, uses);
    if (worst.part <= largest_unsettled_part) return;
    desk.recipe.document.complain(
        item_path("step", index),
        "step " + quoted(desk.recipe.value.steps[index].name) + " cannot settle: " +
            rounded(worst.part * 100.0) + " % of " + worst.where + " is missing through " +
            document::quantity_text(desk.fixture.value.series_resistor.value(), "ohm"),
        "Use a smaller reference or series resistor, or a lower sensing frequency.");
}

// Every tip of the fixture belongs to a channel of the product, and the offset needs to know what
// the fixture itself adds.
void check_tips(Desk desk) {
    auto& document = desk.fixture.document;
    const auto& fixture = desk.fixture.value;
    const auto channels = desk.map.value.channels;
    for (const auto& step : fixture.equipment.steps)
        if (fixture.nest(step.nest) == nullptr || step.channel >= channels)
            return document.complain(tip_path(document, step),
                                     step.reference + " is described on " +
                                         on_tip(step.nest, step.channel) + ", which does not exist",
                                     "The product has channels 0 to " +
                                         std::to_string(channels - 1) +
                                         "; nests are those of [[nest]].");
    for (const auto& nest : fixture.nests)
        for (std::uint16_t channel = 0; channel < channels; ++channel)
            if (fixture.equipment.fixture_part(nest.number, channel) == nullptr)
                return document.complain(
                    "equipment.fixture_part",
                    "the fixture's own part is not described on " + on_tip(nest.number, channel),
                    "The offset is meaningless without it: give one value for "
                    "each nest and channel.");
}

const GainOffsetStep* fit_of(const Recipe& recipe) {
    for (const auto& step : recipe.steps)
        if (const auto* fit = std::get_if<GainOffsetStep>(&step.body)) return fit;
    return nullptr;
}

void check_step(Desk desk, std::size_t index) {
    const auto uses = uses_of(desk.recipe, index);
    bool wired = true;
    for (const auto& use : uses) wired = check_wired(desk, use) && wired;
    if (!wired || uses.empty()) return;
    check_settling(desk, index, uses);
    const auto& body = desk.recipe.value.steps[index].body;
    if (std::holds_alternative<GainOffsetStep>(body)) check_distinct(desk, index, uses);
    const auto* fit = fit_of(desk.recipe.value);
    if (std::holds_alternative<VerifyStep>(body) && fit != nullptr)
        check_inside_span(desk, uses.front(), *fit);
}

}  // namespace

void check_references(Desk desk) {
    if (!desk.fixture.document.sound("equipment") || !desk.fixture.document.sound("nest") ||
        !desk.map.document.sound("channels") || !desk.map.document.sound("frequencies"))
        return;
    if (fit_of(desk.recipe.value) != nullptr) check_tips(desk);
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i) check_step(desk, i);
}

}  // namespace padtrim::language
