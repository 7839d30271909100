#include "station/engine/finger_care.hpp"

#include <cmath>
#include <string>

namespace padtrim::engine {
namespace {

port::Fault no_step(port::FaultKind kind, std::string what) {
    return {kind, port::Blame::fixture, "dummy finger", std::move(what)};
}

}  // namespace

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

Act<port::Position> jog(port::DummyFinger& finger, const language::Finger& profile,
                        port::Position by, Millimetre most) {
    for (const Millimetre along : {by.x, by.y, by.z})
        if (!(std::abs(along.value()) <= most.value()))
            co_return no_step(port::FaultKind::refused,
                              "A step is " + std::to_string(std::lround(most.value())) +
                                  " mm at most along each axis.");
    auto at = co_await finger.position();
    if (!at) co_return at.error();
    const port::Position to{at->x + by.x, at->y + by.y, at->z + by.z};
    if (to.z < profile.surface_height)
        co_return no_step(port::FaultKind::refused,
                          "The finger would end below the panel's surface as the profile states it "
                          "(surface_height). It was not moved.");
    auto there = co_await finger.go(to);
    if (!there && there.error().kind == port::FaultKind::out_of_travel)
        co_return no_step(port::FaultKind::out_of_travel,
                          "The step would leave the finger's travel (travel_x, travel_y, "
                          "travel_z). It was not made.");
    if (!there) co_return there.error();
    auto stands = co_await finger.position();
    co_return stands;
}

}  // namespace padtrim::engine
