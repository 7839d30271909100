// What each coil of the relay board switches, as a fixture profile says it: one list for everything
// that goes over all coils. Pure.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "recipes/language/fixture_profile.hpp"

namespace padtrim::language {

// Whether something moves, or a unit gets power, when the coil closes; or either way, as an arm
// does that is swung in front of the finger.
enum class Stirs { never, closing, either_way };

struct CoilUse {
    std::uint32_t coil = 0;  // of a meter's tip it may lie beyond any board's
    std::string path;        // in the profile; "" for a reference, whose place `step` has
    std::string what;        // "pins of nest 1"
    bool pins = false;       // it presses a nest's pins
    const CharacterisedStep* step = nullptr;
    Stirs stirs = Stirs::never;
};
// In the profile's order; a coil with two uses stands there twice. Outlived by the profile.
[[nodiscard]] std::vector<CoilUse> coil_uses(const FixtureProfile& fixture);

}  // namespace padtrim::language
