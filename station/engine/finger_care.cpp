#include "station/engine/finger_care.hpp"

namespace padtrim::engine {

bool stands_up(const port::Position& at, const language::Finger& finger) {
    constexpr Millimetre tolerance(0.01);
    return at.z >= finger.safe_height - tolerance;
}

Act<void> home_if_lost(port::DummyFinger& finger) {
    auto at = co_await finger.position();
    if (at) co_return port::Outcome<void>();
    if (at.error().kind != port::FaultKind::position_lost) co_return at.error();
    auto homed = co_await finger.home();
    if (!homed) co_return homed.error();
    auto lifted = co_await finger.lift();
    co_return lifted;
}

}  // namespace padtrim::engine
