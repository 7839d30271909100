// Each channel alone feels one reference: a missing contact, a dead electrode and a short between
// neighbours show before time is spent on the fit.
#include "station/engine/steps.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

Act<void> run_contact(Workstand& at, std::string name, language::ContactStep step) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    auto before = co_await at.take(name, step.scans, record::Reading::raw);
    if (!before) co_return before.error();
    const auto channels = single_channels(at.plan());
    const auto of = static_cast<std::uint32_t>(channels.size() + 2);
    std::uint32_t done = 1;
    for (const auto& channel : channels) {
        at.say("", done++, of);
        auto closed = co_await at.switch_in(step.reference, channel);
        if (!closed) co_return closed.error();
        auto taken = co_await at.take(name, step.scans, record::Reading::raw);
        if (!taken) co_return taken.error();
    }
    auto opened = co_await at.open_references();
    if (!opened) co_return opened.error();
    auto after = co_await at.take(name, step.scans, record::Reading::raw);
    at.say("", of, of);
    co_return after;
}

}  // namespace padtrim::engine
