// The demo plan with another limit of its noise, as a revision of its own: releases that differ.
#pragma once

#include <string>
#include <variant>

#include "recipes/language/load.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::test_support {

// high: in counts.
inline language::PlanPtr plan_with_noise(double high, const std::string& revision) {
    language::Recipe recipe = demo_recipe();
    recipe.revision = revision;
    for (auto& step : recipe.steps)
        if (auto* body = std::get_if<language::NoiseStep>(&step.body))
            body->noise.high = Counts(high);
    return language::make_plan(recipe, demo_register_map(), demo_fixture_profile());
}

}  // namespace padtrim::test_support
