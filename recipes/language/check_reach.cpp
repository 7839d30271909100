// The finger has to reach what the recipe sends it to, on every nest, and no panel may lie where
// another one does.
#include <algorithm>
#include <cmath>
#include <map>

#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/key_track.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_needs.hpp"

namespace padtrim::language {
namespace {

// Where the recipe sends the finger on a panel, by the key that it goes there for.
using Places = std::map<std::string, std::vector<PanelPlace>>;

void add_places(Places& places, const RegisterMap& map, const StepBody& body) {
    const auto* sweep = std::get_if<SweepStep>(&body);
    for (const auto* key : touched_keys(map, body)) {
        auto& of_key = places[key->name];
        of_key.push_back(touch_place(*key));
        if (sweep == nullptr || !has_position(key->kind) || key->channels.empty()) continue;
        for (const double part : sweep_parts(*key, sweep->points))
            of_key.push_back(on_track(*key, part));
    }
}

// A hover sweep crosses the whole panel, through the middle of every row of keys.
void add_crossings(std::vector<PanelPlace>& places, const RegisterMap& map) {
    for (const auto& key : map.keys) {
        places.push_back({Millimetre(0.0), key.y});
        places.push_back({map.panel_width, key.y});
    }
}

struct Outside {
    bool x = false, y = false;
    [[nodiscard]] bool any() const { return x || y; }
};

Outside outside(const Finger& finger, const Nest& nest, const std::vector<PanelPlace>& places) {
    const auto beyond = [](Millimetre place, Millimetre travel) {
        return place.value() < 0.0 || place > travel;
    };
    Outside found;
    for (const auto& place : places) {
        found.x = found.x || beyond(nest.origin_x + place.x, finger.travel_x);
        found.y = found.y || beyond(nest.origin_y + place.y, finger.travel_y);
    }
    return found;
}

void complain_at_origin(document::Document& document, std::size_t nest, Outside found,
                        std::string message) {
    document.complain(item_path("nest", nest, found.y ? "origin_y" : "origin_x"),
                      std::move(message),
                      "Check origin_x and origin_y, the finger's travel and the keys' places.");
}

void check_reach(Desk desk, const Finger& finger, const Places& places,
                 const std::vector<PanelPlace>& crossings) {
    auto& document = desk.fixture.document;
    for (std::size_t i = 0; i < desk.fixture.value.nests.size(); ++i) {
        const auto& nest = desk.fixture.value.nests[i];
        if (!document.sound(item_path("nest", i))) continue;
        const std::string on_nest = "on nest " + std::to_string(nest.number);
        std::string beyond;
        Outside all;
        for (const auto& key : desk.map.value.keys) {
            const auto of_key = places.find(key.name);
            if (of_key == places.end()) continue;
            const auto found = outside(finger, nest, of_key->second);
            if (!found.any()) continue;
            all = {all.x || found.x, all.y || found.y};
            beyond += (beyond.empty() ? "" : ", ") + key.name;
        }
        if (!beyond.empty()) {
            complain_at_origin(document, i, all,
                               on_nest + " these keys lie outside the finger's travel: " + beyond);
            continue;
        }
        const auto crossing = outside(finger, nest, crossings);
        if (crossing.any())
            complain_at_origin(
                document, i, crossing,
                on_nest + " a hover sweep across the panel leaves the finger's travel");
    }
}

// Two units do not lie in one place: one of the two origins is not what it should be.
void check_panels_apart(Desk desk) {
    auto& document = desk.fixture.document;
    const auto& nests = desk.fixture.value.nests;
    const auto& map = desk.map.value;
    if (!desk.map.document.sound("panel")) return;
    for (std::size_t i = 0; i < nests.size(); ++i)
        for (std::size_t other = 0; other < i; ++other) {
            const double dx = std::abs((nests[i].origin_x - nests[other].origin_x).value());
            const double dy = std::abs((nests[i].origin_y - nests[other].origin_y).value());
            if (dx >= map.panel_width.value() || dy >= map.panel_height.value()) continue;
            if (!document.sound(item_path("nest", i)) || !document.sound(item_path("nest", other)))
                continue;
            document.complain(
                item_path("nest", i, "origin_x"),
                "the panel of nest " + std::to_string(nests[i].number) +
                    " would lie over the one of nest " + std::to_string(nests[other].number) +
                    ": panels are " + document::number_text(map.panel_width.value()) + " mm by " +
                    document::quantity_text(map.panel_height.value(), "mm"),
                "Measure where the finger finds the lower left corner of each panel.");
        }
}

}  // namespace

void check_finger(Desk desk) {
    const auto& map = desk.map.value;
    auto& recipe = desk.recipe;
    Places places;
    std::vector<PanelPlace> crossings;
    for (std::size_t i = 0; i < recipe.value.steps.size(); ++i) {
        const auto& body = recipe.value.steps[i].body;
        const auto need = finger_need(body);
        if (!need.needed || map.keys.empty() || !recipe.document.sound(item_path("step", i)))
            continue;
        if (!desk.fixture.value.finger && desk.fixture.document.sound("finger"))
            recipe.document.complain(
                item_path("step", i), "this step needs a dummy finger; the fixture has none",
                need.can_do_without ? "Write finger = false, or use a fixture with a finger."
                                    : "Leave the step out, or use a fixture with a finger.");
        add_places(places, map, body);
        if (std::holds_alternative<HoverStep>(body)) add_crossings(crossings, map);
    }
    const auto& finger = desk.fixture.value.finger;
    if (!finger || !desk.fixture.document.sound("finger")) return;
    if (desk.map.document.sound("key")) check_reach(desk, *finger, places, crossings);
    check_panels_apart(desk);
}

}  // namespace padtrim::language
