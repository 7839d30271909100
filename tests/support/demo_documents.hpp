// Documents of a made-up product for tests: an eight-key panel, its fixture and a recipe.
//
// The values are those of a plausible product, not of a real one: 400 counts/pF, 2 sensing
// frequencies, five reference steps at each tip (R1..R4 for the fit, R5 held out).
#pragma once

#include "recipes/language/plan.hpp"

namespace padtrim::test_support {

struct DemoFixture {
    std::uint16_t nests = 1;
    bool shared_bus = false;  // all nests behind one multiplexer on port "nests"
    bool handler = true;      // a pulse on advance_coil loads the next unit
    bool finger = true, climate = true, interlocks = true;
    language::Switching switching = language::Switching::all_channels;
};

[[nodiscard]] language::RegisterMap demo_register_map();
[[nodiscard]] language::FixtureProfile demo_fixture_profile(const DemoFixture& choice = {});
[[nodiscard]] language::Recipe demo_recipe();
// The three together; the hash is a constant text, for nothing here reads it back.
[[nodiscard]] language::PlanPtr demo_plan(const DemoFixture& choice = {});

}  // namespace padtrim::test_support
