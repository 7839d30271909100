// What is done with the finger at the beginning and the end of things.
#pragma once

#include "fixtures/port/devices.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "station/engine/act.hpp"

namespace padtrim::engine {

// At the safe height or above, as far as a controller's report with three decimals tells.
[[nodiscard]] bool stands_up(const port::Position& at, const language::Finger& finger);

// A finger that lost its place, or never homed, homes over its whole travel and is lifted; another
// stays where it is. Only where a person has just said that it may.
[[nodiscard]] Act<void> home_if_lost(port::DummyFinger& finger);

}  // namespace padtrim::engine
