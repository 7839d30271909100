#include "recipes/language/check_together.hpp"

#include <algorithm>

#include "recipes/document/nearest.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_needs.hpp"
#include "recipes/language/words.hpp"

namespace padtrim::language {

namespace {
void check_map_has(Desk desk);
}  // namespace

void check_together(Reading<Recipe>& recipe, Reading<RegisterMap>& map,
                    Reading<FixtureProfile>& fixture) {
    const Desk desk{recipe, map, fixture};
    check_names(desk);
    check_references(desk);
    check_finger(desk);
    check_limits(desk);
    check_map_has(desk);
    check_finger_steps(desk);
    check_vanishing(desk);
    check_watching(desk);
}

namespace {

// Steps that ask for what the product does not have.
void check_map_has(Desk desk) {
    const auto& map = desk.map.value;
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i) {
        const auto& body = desk.recipe.value.steps[i].body;
        if (!desk.recipe.document.sound(item_path("step", i))) continue;
        if (std::holds_alternative<FrequencyStep>(body) && map.frequencies.size() == 1)
            desk.recipe.document.complain(
                item_path("step", i),
                "the product has one sensing frequency; there is no other to compare it with",
                "Leave the step out.");
        const auto* link = std::get_if<LinkStep>(&body);
        if (link != nullptr && link->supply.limited() && !map.supply &&
            desk.map.document.sound("supply"))
            desk.recipe.document.complain(
                item_path("step", i, "limits.supply"), "the product does not tell its supply",
                "Add [supply] to the register map, or leave the limit out.");
    }
}

template <class T>
void want_product(Reading<T>& reading, const Reading<RegisterMap>& map) {
    if (!reading.document.sound("product") || !map.document.sound("product")) return;
    if (reading.value.product == map.value.product) return;
    reading.document.complain("product",
                              in_quotes(reading.value.product) + " is not the product of " +
                                  map.document.file() + ", " + in_quotes(map.value.product),
                              "Use the documents of one product together.");
}

void check_step_keys(Desk desk, std::size_t index, const std::vector<std::string>& keys) {
    std::vector<std::string_view> names;
    for (const auto& key : desk.map.value.keys) names.push_back(key.name);
    for (std::size_t i = 0; i < keys.size(); ++i) {
        const auto path = document::path_item(item_path("step", index, "keys"), i);
        if (std::find(names.begin(), names.end(), keys[i]) != names.end()) continue;
        desk.recipe.document.complain(path, "the product has no key " + in_quotes(keys[i]),
                                      document::suggestion(keys[i], names));
    }
}

}  // namespace

namespace {

void check_excepted(Desk desk, std::size_t index, std::size_t item, const Exception& exception) {
    const auto at = document::path_item(item_path("step", index, "except"), item);
    const auto& map = desk.map.value;
    auto& document = desk.recipe.document;
    std::vector<std::string_view> names;
    for (const auto& key : map.keys) names.push_back(key.name);
    for (std::size_t i = 0; i < exception.keys.size(); ++i)
        if (std::find(names.begin(), names.end(), exception.keys[i]) == names.end())
            document.complain(document::path_item(at + ".keys", i),
                              "the product has no key " + in_quotes(exception.keys[i]),
                              document::suggestion(exception.keys[i], names));
    for (std::size_t i = 0; i < exception.channels.size(); ++i)
        if (exception.channels[i] >= map.channels && desk.map.document.sound("channels"))
            document.complain(document::path_item(at + ".channels", i),
                              "channel " + std::to_string(exception.channels[i]) +
                                  " does not exist; the product has channels 0 to " +
                                  std::to_string(map.channels - 1),
                              "Channels count from 0.");
}

bool has(const FixtureProfile& fixture, Need need) {
    const auto loads = [](const Nest& nest) { return nest.advance_coil.has_value(); };
    switch (need) {
        case Need::finger:
            return fixture.finger.has_value();
        case Need::contact_references:
            return fixture.coupling == Coupling::contact && !fixture.equipment.steps.empty();
        case Need::climate:
            return fixture.climate.has_value();
        case Need::guard:
            return fixture.interlocks.guard_input.has_value();
        case Need::emergency_stop:
            return fixture.interlocks.emergency_stop_input.has_value();
        case Need::handler:
            return std::all_of(fixture.nests.begin(), fixture.nests.end(), loads);
        case Need::bonded_return_path:
            return fixture.return_path == ReturnPath::bonded;
    }
    return true;
}

void check_needs(Desk desk) {
    const auto& needs = desk.recipe.value.fixture_has;
    if (!desk.recipe.document.sound("fixture_has") || !desk.fixture.document.sound("")) return;
    for (std::size_t i = 0; i < needs.size(); ++i)
        if (!has(desk.fixture.value, needs[i]))
            desk.recipe.document.complain(
                document::path_item("fixture_has", i),
                "the fixture lacks what this recipe needs: " + std::string(word_of(needs[i])),
                "Use a fixture that has it, or leave the need out.");
}

}  // namespace

namespace {

// Lines have no addresses.
void check_text_ports(Desk desk) {
    auto& document = desk.fixture.document;
    if (!desk.map.value.lines || !desk.map.document.sound("lines")) return;
    for (std::size_t i = 0; i < desk.fixture.value.nests.size(); ++i)
        if (desk.fixture.value.nests[i].select_coil &&
            document.sound(item_path("nest", i, "select_coil")))
            document.complain(item_path("nest", i, "select_coil"),
                              "units that talk in text lines cannot share a port",
                              "Give each nest a port of its own, and leave select_coil out.");
}

}  // namespace

void check_names(Desk desk) {
    check_text_ports(desk);
    want_product(desk.recipe, desk.map);
    want_product(desk.fixture, desk.map);
    check_needs(desk);
    if (!desk.map.document.sound("key")) return;
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i)
        for (std::size_t e = 0; e < desk.recipe.value.steps[i].exceptions.size(); ++e)
            check_excepted(desk, i, e, desk.recipe.value.steps[i].exceptions[e]);
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i)
        if (const auto* keys = chosen_keys(desk.recipe.value.steps[i].body);
            keys != nullptr && desk.recipe.document.sound(item_path("step", i, "keys")))
            check_step_keys(desk, i, *keys);
}

}  // namespace padtrim::language
