// A short way of the finger over the keys of a step.
//
// Begins and ends anywhere. Method: the order given and the nearest neighbour's from every key,
// each improved by reversing stretches and by moving stretches of up to three keys elsewhere, as
// long as that shortens it (up to 40 keys); the shortest of them counts, and the order given where
// none is shorter. That is not always the shortest there is: tests/station/engine/route_test.cpp
// holds it against exhaustive search (Held and Karp 1962) of up to 12 keys. Pure and deterministic;
// O(n^3) a pass.
#pragma once

#include <vector>

#include "recipes/language/key_track.hpp"
#include "recipes/language/register_map.hpp"

namespace padtrim::engine {

[[nodiscard]] std::vector<std::size_t> short_route(const std::vector<language::PanelPlace>& places);
[[nodiscard]] Millimetre length_of(const std::vector<language::PanelPlace>& places,
                                   const std::vector<std::size_t>& route);

}  // namespace padtrim::engine
