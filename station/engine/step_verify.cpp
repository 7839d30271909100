// Evidence that the trims hold: what the unit itself makes of a reference that the fit never saw,
// and whether each key reports its touch.
#include "station/engine/steps.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

Act<void> run_verify(Workstand& at, std::string name, language::VerifyStep step) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    Bracket bracket;
    bracket.references.push_back(step.reference);
    bracket.groups = switching_groups(at.plan());
    bracket.scans = step.scans;
    bracket.reading = record::Reading::corrected;
    const std::uint32_t states = states_of(bracket);
    const auto keys = static_cast<std::uint32_t>(at.plan().map.keys.size());
    bracket.part.after = step.finger ? keys : 0;
    auto taken = co_await take_bracketed(at, name, std::move(bracket));
    if (!taken || !step.finger) co_return taken;
    std::vector<std::string> all;
    const Part finger{states, 0};
    const Scans none;
    auto touched = co_await touch_keys(at, name, std::move(all), none, finger);
    co_return touched;
}

}  // namespace padtrim::engine
