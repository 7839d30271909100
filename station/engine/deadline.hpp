// An act that has to end within a time of its own, because something must come after it.
#pragma once

#include <chrono>
#include <string>

#include "fixtures/port/clock.hpp"
#include "station/engine/act.hpp"

namespace padtrim::engine {

// The act's own outcome, or the fault no_answer of `device` (blame: fixture) when the time is up;
// then the act has been cancelled and has ended.
[[nodiscard]] Act<void> within(port::Clock& clock, std::chrono::milliseconds limit, Act<void> act,
                               std::string device);

}  // namespace padtrim::engine
