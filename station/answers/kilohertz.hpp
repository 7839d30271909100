// Sensing frequencies by their number, for tables.
#pragma once

#include <string>

#include <fmt/format.h>

#include "recipes/language/plan.hpp"

namespace padtrim::answers {

// "250", or "f1" when the plan cannot be read any more; "" for a check without a frequency.
[[nodiscard]] inline std::string kilohertz(const language::PlanPtr& plan, int frequency) {
    if (frequency < 0) return "";
    const auto at = static_cast<std::size_t>(frequency);
    if (!plan || at >= plan->map.frequencies.size()) return fmt::format("f{}", frequency);
    return fmt::format("{:g}", plan->map.frequencies[at].value());
}

}  // namespace padtrim::answers
