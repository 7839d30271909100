// Checks that a recipe asks for and nobody would ever make: they would be missing from the results
// without a word.
#include <algorithm>

#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"
#include "recipes/language/step_needs.hpp"

namespace padtrim::language {
namespace {

std::string listed(const std::vector<std::string>& names) {
    std::string all;
    for (const auto& name : names) all += (all.empty() ? "" : ", ") + name;
    return all;
}

// Crosstalk is looked for on a key's neighbours.
void check_neighbours(Desk desk, std::size_t index, const StepBody& body) {
    const auto* check = check_with_limit(declaration_of(body), "crosstalk");
    const auto path = item_path("step", index, "limits.crosstalk");
    if (check == nullptr || !desk.recipe.document.sound(path)) return;
    const auto limit = limit_of(body, check->name);
    if (!limit.low && !limit.high) return;
    std::vector<std::string> alone;
    for (const auto* key : touched_keys(desk.map.value, body))
        if (key->neighbours.empty()) alone.push_back(key->name);
    if (alone.empty()) return;
    desk.recipe.document.complain(
        path, "keys without neighbours have no crosstalk that could be looked at: " + listed(alone),
        "Name their neighbours in the register map, or touch these keys in a step without it.");
}

void check_excepted_keys(Desk desk, std::size_t index, const Step& step) {
    if (chosen_keys(step.body) == nullptr) return;
    const auto touched = touched_keys(desk.map.value, step.body);
    const auto is_touched = [&](const std::string& name) {
        return std::any_of(touched.begin(), touched.end(),
                           [&](const Key* key) { return key->name == name; });
    };
    for (std::size_t e = 0; e < step.exceptions.size(); ++e) {
        const auto at = document::path_item(item_path("step", index, "except"), e);
        for (std::size_t i = 0; i < step.exceptions[e].keys.size(); ++i) {
            const auto path = document::path_item(at + ".keys", i);
            const auto& name = step.exceptions[e].keys[i];
            if (is_touched(name) || !desk.recipe.document.sound(path)) continue;
            desk.recipe.document.complain(path, "this step does not go to key " + in_quotes(name),
                                          "Leave it out, or add it to the step's keys.");
        }
    }
}

// A response time is counted from the operating distance that a curve before has found.
void check_curves(Desk desk, std::size_t index, const ResponseStep& response) {
    const auto& steps = desk.recipe.value.steps;
    std::vector<std::string> known;
    for (std::size_t i = 0; i < index; ++i)
        if (std::holds_alternative<ApproachStep>(steps[i].body))
            for (const auto* key : touched_keys(desk.map.value, steps[i].body))
                known.push_back(key->name);
    if (known.empty()) return;  // check_finger_steps() has said so
    std::vector<std::string> unknown;
    for (const auto* key : touched_keys(desk.map.value, response))
        if (std::count(known.begin(), known.end(), key->name) == 0) unknown.push_back(key->name);
    if (unknown.empty()) return;
    desk.recipe.document.complain(
        item_path("step", index, "keys"),
        "no approach curve is taken before on these keys, so their operating distance is not "
        "known: " +
            listed(unknown),
        "Let the approach curve go to them, or leave them out here.");
}

}  // namespace

void check_vanishing(Desk desk) {
    if (!desk.map.document.sound("key")) return;
    const auto& recipe = desk.recipe;
    for (std::size_t i = 0; i < recipe.value.steps.size(); ++i) {
        const auto& step = recipe.value.steps[i];
        if (!recipe.document.sound(item_path("step", i, "do")) ||
            !recipe.document.sound(item_path("step", i, "keys")))
            continue;
        check_neighbours(desk, i, step.body);
        check_excepted_keys(desk, i, step);
        if (const auto* response = std::get_if<ResponseStep>(&step.body))
            check_curves(desk, i, *response);
    }
}

}  // namespace padtrim::language
