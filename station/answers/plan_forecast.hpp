// How long a plan takes on one unit, before anything moves: each step, what the time goes to, and
// the floor that physics sets. From the plan alone; nothing is opened.
#pragma once

#include <string>
#include <vector>

#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/engine/duration.hpp"

namespace padtrim::answers {

struct StepForecast {
    std::string step;       // "start" for power, boot and identity
    std::string kind;       // what `do` says; "" for the start
    std::string condition;  // "only if noise was fail"; "" for a step that is always done
    unsigned retries = 0;   // not in the time
    engine::Span begins{0.0};
    engine::Duration time;
    double share = 0.0;  // of the whole
};

struct PlanForecast {
    std::string recipe, revision, product, fixture, hash;
    std::size_t nests = 1;
    std::vector<StepForecast> steps;
    engine::Duration whole;
    // With every nest at work; the finger, which the nests share, may be what limits it.
    double units_per_hour = 0.0;
    bool finger_limits = false;
};

[[nodiscard]] PlanForecast forecast(const language::Plan& plan);
[[nodiscard]] Json to_json(const PlanForecast& forecast);

}  // namespace padtrim::answers
