// The plan: a recipe expanded for one unit type and one fixture; immutable and hashed.
//
// Made by make_plan() from three documents that passed check_together(). Stored results name the
// hash; a plan is read back from its own text (plan_text / read_plan) to judge a stored run again.
#pragma once

#include <memory>
#include <string>

#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/recipe.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::language {

struct Plan {
    Recipe recipe;
    RegisterMap map;
    FixtureProfile fixture;
    std::string hash;  // SHA-256 in hex over plan_text()
};

using PlanPtr = std::shared_ptr<const Plan>;

}  // namespace padtrim::language
