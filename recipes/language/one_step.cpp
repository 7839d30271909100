#include "recipes/language/one_step.hpp"

#include <algorithm>
#include <vector>

#include "recipes/document/nearest.hpp"
#include "recipes/language/load.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {

std::string why_not_alone(const Step& step) {
    const std::string named = "Step " + in_quotes(step.name) + " ";
    if (std::holds_alternative<WriteTrimsStep>(step.body))
        return named + "writes to the unit, and a step alone is measured only. Run the recipe.";
    if (std::holds_alternative<VerifyStep>(step.body) ||
        std::holds_alternative<PowerCycleStep>(step.body))
        return named + "looks at what was written before, and alone nothing is. Run the recipe.";
    if (declaration_of(step.body).checks.empty())
        return named + "looks at nothing, so that it would show nothing. Choose another.";
    return "";
}

OneStep one_step_of(const Plan& plan, const std::string& name) {
    const auto& steps = plan.recipe.steps;
    const auto chosen = std::find_if(steps.begin(), steps.end(),
                                     [&](const Step& step) { return step.name == name; });
    if (chosen == steps.end()) {
        std::vector<std::string_view> known;
        for (const Step& step : steps) known.push_back(step.name);
        return {nullptr, "The recipe has no step " + in_quotes(name) + ". " +
                             document::suggestion(name, known)};
    }
    if (std::string why = why_not_alone(*chosen); !why.empty()) return {nullptr, std::move(why)};
    Recipe recipe = plan.recipe;
    recipe.name += ", " + chosen->name + " alone";
    recipe.steps.clear();
    if (!std::holds_alternative<IdentifyStep>(chosen->body))
        std::copy_if(
            steps.begin(), steps.end(), std::back_inserter(recipe.steps),
            [](const Step& step) { return std::holds_alternative<IdentifyStep>(step.body); });
    recipe.steps.push_back(*chosen);
    recipe.steps.back().only_if.reset();
    return {make_plan(std::move(recipe), plan.map, plan.fixture), ""};
}

}  // namespace padtrim::language
