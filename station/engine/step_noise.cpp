// Repeated readings in one situation: references open, pins on, nothing moving in this nest.
#include "station/engine/steps.hpp"

namespace padtrim::engine {

Act<void> run_noise(Workstand& at, std::string name, language::NoiseStep step) {
    auto ready = co_await at.ready_to_measure();
    if (!ready) co_return ready.error();
    at.say("", 0, 1);
    auto taken = co_await at.take(name, step.scans, record::Reading::raw);
    at.say("", 1, 1);
    co_return taken;
}

}  // namespace padtrim::engine
