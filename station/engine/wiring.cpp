#include "station/engine/wiring.hpp"

#include <algorithm>
#include <set>

#include "recipes/language/key_track.hpp"
#include "station/engine/route.hpp"

namespace padtrim::engine {

std::vector<std::uint16_t> coils_of(const language::EquipmentRecord& equipment, std::uint16_t nest,
                                    const std::string& reference,
                                    const std::vector<std::uint16_t>& channels) {
    const auto wanted = [&](const language::CharacterisedStep& step) {
        return step.nest == nest && step.reference == reference &&
               (channels.empty() ||
                std::find(channels.begin(), channels.end(), step.channel) != channels.end());
    };
    std::set<std::uint16_t> coils;
    for (const language::CharacterisedStep& step : equipment.steps)
        if (wanted(step)) coils.insert(step.coil);
    return {coils.begin(), coils.end()};
}

std::vector<port::CoilState> released(const language::FixtureProfile& fixture,
                                      const language::Nest& nest) {
    std::set<std::uint16_t> coils{nest.connect_coil};
    for (const language::CharacterisedStep& step : fixture.equipment.steps)
        if (step.nest == nest.number) coils.insert(step.coil);
    std::vector<port::CoilState> states;
    for (const std::uint16_t coil : coils) states.push_back({coil, false});
    return states;
}

std::vector<std::vector<std::uint16_t>> single_channels(const language::Plan& plan) {
    std::vector<std::vector<std::uint16_t>> groups;
    for (std::uint16_t channel = 0; channel < plan.map.channels; ++channel)
        groups.push_back({channel});
    return groups;
}

std::vector<std::vector<std::uint16_t>> switching_groups(const language::Plan& plan) {
    if (plan.fixture.relays.switching == language::Switching::all_channels) return {{}};
    return single_channels(plan);
}

std::vector<const language::Key*> chosen_keys(
    const language::RegisterMap& map, const std::vector<std::string>& names,
    const std::function<bool(language::KeyKind)>& wanted) {
    std::vector<const language::Key*> keys;
    for (const language::Key& key : map.keys) {
        const bool named = std::find(names.begin(), names.end(), key.name) != names.end();
        if (named || (names.empty() && (!wanted || wanted(key.kind)))) keys.push_back(&key);
    }
    std::vector<language::PanelPlace> places;
    for (const language::Key* key : keys) places.push_back(language::touch_place(*key));
    std::vector<const language::Key*> way;
    for (const std::size_t at : short_route(places)) way.push_back(keys[at]);
    return way;
}

std::vector<const language::Key*> chosen_keys(const language::RegisterMap& map,
                                              const std::vector<std::string>& names,
                                              language::KeyKind kind) {
    return chosen_keys(map, names, [kind](language::KeyKind k) { return k == kind; });
}

port::Position over(const language::Finger& finger, const language::Nest& nest,
                    const language::Key& key, bool touching) {
    const language::PanelPlace place = language::touch_place(key);
    return {nest.origin_x + place.x, nest.origin_y + place.y,
            touching ? finger.surface_height : finger.safe_height};
}

}  // namespace padtrim::engine
