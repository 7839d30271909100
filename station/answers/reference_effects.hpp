// What a reference that is not as certified does to the line of a channel: from the very fit that
// the station makes of its states, with the plan's references and their certificates. Pure.
#pragma once

#include <cstdint>
#include <vector>

#include "db/quality/channel_causes.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::answers {

// Empty where the plan fits no line, or the nest has no such references.
[[nodiscard]] std::vector<quality::ReferenceEffect> reference_effects(const language::Plan& plan,
                                                                      std::uint16_t nest,
                                                                      std::size_t channel);

}  // namespace padtrim::answers
