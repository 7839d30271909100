// Opening relays without swinging an arm: a target in front of a finger that may be low is left
// where it is until the finger was lifted.
#pragma once

#include "fixtures/port/devices.hpp"
#include "recipes/language/fixture_profile.hpp"
#include "station/engine/act.hpp"

namespace padtrim::engine {

// All coils but those of targets. Both outlive the act.
[[nodiscard]] Act<void> open_all_but_targets(port::RelayBank& relays,
                                             const language::FixtureProfile& fixture);

}  // namespace padtrim::engine
