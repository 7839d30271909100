// What a step wants of product and fixture: references, keys, the finger. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

// The references that a step names, and below which key of its table; a list when it takes several.
struct NamedReferences {
    std::string_view key;  // "reference" or "references"
    std::vector<std::string> names;
};
[[nodiscard]] NamedReferences references_of(const StepBody& body);

// The list by which a step chooses keys; null for steps that do not.
[[nodiscard]] const std::vector<std::string>* chosen_keys(const StepBody& body);

// Whether it moves the dummy finger, and what to write when the fixture has none.
struct FingerNeed {
    bool needed = false;
    bool can_do_without = false;  // with finger = false
};
// Keys that a step goes to, one by one; none for a step that goes to no key.
[[nodiscard]] std::vector<const Key*> touched_keys(const RegisterMap& map, const StepBody& body);

[[nodiscard]] FingerNeed finger_need(const StepBody& body);
// Whether steps that cannot do without the finger yield a check of this name.
[[nodiscard]] bool is_of_finger(std::string_view check);

}  // namespace padtrim::language
