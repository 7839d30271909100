// The decision after each look of a touch. Internal to the room; see touch_sequence.hpp.
#pragma once

#include <cstddef>

#include "recipes/language/recipe.hpp"
#include "station/metrology/sequential_limit.hpp"
#include "station/metrology/touch_readings.hpp"

namespace padtrim::metrology {

class LookRule {
  public:
    // `limits` are those at the touched key.
    LookRule(const language::TouchStep& body, const language::DecisionRule& decision,
             const Limits& limits);

    // What the scans so far decide, first crossing first; `room` widens the boundary.
    [[nodiscard]] LimitDecision decided(const TouchReadings& readings, const Press& press,
                                        std::size_t series, double room = 1.0) const;
    // Whether all looks of the plan were taken.
    [[nodiscard]] bool used_up(std::size_t scans) const;

  private:
    std::size_t scans_, looks_;
    double risk_a_look_;
    Limits limits_;
};

}  // namespace padtrim::metrology
