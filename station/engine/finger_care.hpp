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

// By so much from where it stands; sideways over the safe height, and down last. Returns where it
// stands then. Refused: more than `most` along an axis, and ends below the profile's surface.
// out_of_travel: the travel's end. position_lost where the finger does not know its place.
[[nodiscard]] Act<port::Position> jog(port::DummyFinger& finger, const language::Finger& profile,
                                      port::Position by, Millimetre most);

}  // namespace padtrim::engine
