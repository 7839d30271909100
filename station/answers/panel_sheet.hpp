// What a face needs to draw a station's panel before anything runs: outline and keys in
// millimetres, nests, documents, and the cautions that belong with it. From the plan alone.
#pragma once

#include <string>
#include <vector>

#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"

namespace padtrim::answers {

struct SheetNest {
    std::uint16_t number = 1;
    bool by_hand = false;  // a person loads; there is no handler
};

struct PanelSheet {
    std::string station, fixture, fixture_revision;
    std::string product, map_revision, recipe, recipe_revision, plan_hash;
    Millimetre width, height, overlay;
    std::vector<language::Key> keys;
    std::vector<SheetNest> nests;
    bool has_finger = false;
    Millimetre finger_diameter{};
    bool has_shift_check = false;
    bool has_guard = false;  // an input tells whether it is closed
    bool has_stack_light = false;
    std::string caution;
};

[[nodiscard]] PanelSheet panel_sheet(const language::Plan& plan, const std::string& station);
[[nodiscard]] Json to_json(const PanelSheet& sheet);

}  // namespace padtrim::answers
