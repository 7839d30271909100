// Which relay coils belong to what in one nest; read off the plan's fixture profile. Pure.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "fixtures/port/devices.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::engine {

// Channels empty: every channel that has this reference. Sorted, each coil once.
[[nodiscard]] std::vector<std::uint16_t> coils_of(const language::EquipmentRecord& equipment,
                                                  std::uint16_t nest, const std::string& reference,
                                                  const std::vector<std::uint16_t>& channels = {});

// Every reference of the nest open and its pins off: the first half of the safe state.
[[nodiscard]] std::vector<port::CoilState> released(const language::FixtureProfile& fixture,
                                                    const language::Nest& nest);

// The groups of channels on which one reference is switched in turn: one group of all (written as
// an empty list), or each channel alone.
[[nodiscard]] std::vector<std::vector<std::uint16_t>> switching_groups(const language::Plan& plan);
[[nodiscard]] std::vector<std::vector<std::uint16_t>> single_channels(const language::Plan& plan);

// Keys of these names in the order of a short way over them (route.hpp); without names all, or all
// of the wanted kind.
[[nodiscard]] std::vector<const language::Key*> chosen_keys(
    const language::RegisterMap& map, const std::vector<std::string>& names,
    const std::function<bool(language::KeyKind)>& wanted = {});
[[nodiscard]] std::vector<const language::Key*> chosen_keys(const language::RegisterMap& map,
                                                            const std::vector<std::string>& names,
                                                            language::KeyKind kind);

// Where the finger stands over a key of the unit in this nest.
[[nodiscard]] port::Position over(const language::Finger& finger, const language::Nest& nest,
                                  const language::Key& key, bool touching);

}  // namespace padtrim::engine
