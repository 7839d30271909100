// Whether the fixture that is plugged in is the one that the profile describes: before anything
// moves or is switched, since another one has other wiring.
#pragma once

#include "fixtures/port/devices.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "station/engine/act.hpp"

namespace padtrim::engine {

// Reads the coded inputs of the profile's identity; a profile without one is taken at its word.
// Faults: wrong_device, with both numbers; those of the relay board. Both outlive the act.
[[nodiscard]] Act<void> right_fixture(port::RelayBank& relays,
                                      const language::FixtureProfile& fixture);

}  // namespace padtrim::engine
