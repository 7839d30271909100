#include "station/engine/open_relays.hpp"

#include <algorithm>
#include <vector>

namespace padtrim::engine {

Act<void> open_all_but_targets(port::RelayBank& relays, const language::FixtureProfile& fixture) {
    const auto swings = [&](std::uint16_t coil) {
        return std::any_of(fixture.targets.begin(), fixture.targets.end(),
                           [coil](const auto& target) { return target.coil == coil; });
    };
    std::vector<port::CoilState> coils;
    for (std::uint16_t coil = 0; coil < fixture.relays.coils; ++coil)
        if (!swings(coil)) coils.push_back({coil, false});
    if (coils.size() == fixture.relays.coils) {
        auto all = co_await relays.open_all();
        co_return all;
    }
    auto open = co_await relays.set(coils);
    co_return open;
}

}  // namespace padtrim::engine
