// Limits of a recipe as they are checked: each step's own, and each exception from them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/fixture_profile.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {

// A step's body with the limits of one place, and where they stand.
struct PlacedLimits {
    StepBody body;
    std::string below;                     // "step[2].limits", or of an exception
    const Exception* exception = nullptr;  // only its limits are new

    [[nodiscard]] std::string path(std::string_view limit_key) const {
        return document::path_below(below, limit_key);
    }
    [[nodiscard]] bool holds(std::string_view limit_key) const {
        const auto* check = check_with_limit(declaration_of(body), limit_key);
        if (check == nullptr) return false;
        if (exception == nullptr) return true;
        for (const auto& limit : exception->limits)
            if (limit.check == check->name) return true;
        return false;
    }
};

[[nodiscard]] inline std::vector<PlacedLimits> limits_in(const Step& step, std::size_t index) {
    std::vector<PlacedLimits> all{{step.body, item_path("step", index, "limits"), nullptr}};
    for (std::size_t e = 0; e < step.exceptions.size(); ++e)
        all.push_back({body_under(step.body, step.exceptions[e]),
                       document::path_item(item_path("step", index, "except"), e) + ".limits",
                       &step.exceptions[e]});
    return all;
}

// What a fixture's references are to a step that uses them.
struct Tips {
    Picofarad largest_step;
    double common_relative = 0;  // the smallest one: what is certain on every tip
    Picofarad fixture_part;      // the largest one
};
[[nodiscard]] Tips tips_of(const FixtureProfile& fixture,
                           const std::vector<std::string>& references);

}  // namespace padtrim::language
