#include "station/engine/open_relays.hpp"

#include <vector>

#include "recipes/language/coil_uses.hpp"

namespace padtrim::engine {

Act<void> open_all_but_targets(port::RelayBank& relays, const language::FixtureProfile& fixture) {
    std::vector<port::CoilState> coils;
    for (std::uint16_t coil = 0; coil < fixture.relays.coils; ++coil)
        coils.push_back({coil, false});
    const std::size_t all = coils.size();
    for (const language::CoilUse& use : language::coil_uses(fixture))
        if (use.stirs == language::Stirs::either_way)
            std::erase_if(coils, [&](const auto& one) { return one.coil == use.coil; });
    if (coils.size() == all) {
        auto opened = co_await relays.open_all();
        co_return opened;
    }
    auto open = co_await relays.set(coils);
    co_return open;
}

}  // namespace padtrim::engine
