// How long a plan takes on one unit, before anything moves: each step, what the time goes to, and
// the floor that physics sets. From the plan alone; nothing is opened.
#pragma once

#include <string>
#include <vector>

#include "recipes/language/plan.hpp"
#include "station/answers/json.hpp"
#include "station/engine/duration.hpp"
#include "station/metrology/electrode.hpp"

namespace padtrim::answers {

struct StepForecast {
    std::string step;       // "start" for power, boot and identity
    std::string kind;       // what `do` says; "" for the start
    std::string condition;  // "only if noise was fail"; "" for a step that is always done
    bool counted = true;    // done to a unit that passes every step; else in no sum
    unsigned retries = 0;   // not in the time
    engine::Span begins{0.0};
    engine::Duration time;
    double share = 0.0;  // of the whole; 0 when not counted
};

// How far a sensing frequency lets the largest step charge through the series resistor. The
// electrode's own capacitance is not known and comes on top.
struct Charging {
    Kilohertz drive;
    Picofarad load;  // the largest step of the fixture and the fixture's own part
    metrology::Settling settling;
};

struct PlanForecast {
    std::string recipe, revision, product, fixture, hash;
    std::size_t nests = 1;
    std::vector<StepForecast> steps;
    engine::Duration whole;  // of a unit that passes every step
    // With every nest at work. What nests share may be what limits it: the finger, or the talk on
    // one port.
    double units_per_hour = 0.0;
    Ohm series_resistor;
    std::vector<Charging> charging;  // one a sensing frequency
    std::string limited_by;          // "finger", "port", or "" when the nests themselves do
};

[[nodiscard]] PlanForecast forecast(const language::Plan& plan);
[[nodiscard]] Json to_json(const PlanForecast& forecast);

}  // namespace padtrim::answers
