#include "station/engine/loader.hpp"

#include <array>
#include <chrono>

namespace padtrim::engine {

namespace {

using namespace std::chrono_literals;

constexpr std::chrono::milliseconds pulse_time = 100ms;
// A handler that has not brought a unit in this time has none left. Common practice, no source.
constexpr std::chrono::milliseconds handler_time = 5s;
constexpr std::chrono::milliseconds look_again = 50ms;

Act<void> turn_coil(port::RelayBank& relays, std::uint16_t coil, bool closed) {
    const std::array<port::CoilState, 1> one{port::CoilState{coil, closed}};
    co_return co_await relays.set(one);
}

}  // namespace

bool has_handler(const language::Nest& nest) {
    return nest.advance_coil.has_value() && nest.present_input.has_value();
}

Act<bool> lies_in(port::RelayBank& relays, std::uint16_t present_input) {
    auto present = co_await relays.input(present_input);
    co_return present;
}

Act<Loading> load_by_handler(const Parts& parts, const language::Nest& nest) {
    auto pressed = co_await turn_coil(*parts.relays, *nest.advance_coil, true);
    if (!pressed) co_return pressed.error();
    co_await parts.clock->sleep_for(pulse_time);
    auto released = co_await turn_coil(*parts.relays, *nest.advance_coil, false);
    if (!released) co_return released.error();
    const port::Instant last = parts.clock->now() + handler_time;
    Loading loading;
    while (true) {
        auto present = co_await lies_in(*parts.relays, *nest.present_input);
        if (!present) co_return present.error();
        loading.present = *present;
        if (loading.present || parts.clock->now() >= last) co_return loading;
        co_await parts.clock->sleep_for(look_again);
    }
}

}  // namespace padtrim::engine
