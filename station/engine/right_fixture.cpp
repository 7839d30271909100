#include "station/engine/right_fixture.hpp"

#include <string>

namespace padtrim::engine {

namespace {

port::Fault another_fixture(const language::FixtureProfile& fixture, std::uint32_t number) {
    const std::string seen =
        number == 0
            ? "No fixture is plugged in, or one without a number"
            : "The fixture that is plugged in says that it is number " + std::to_string(number);
    return {port::FaultKind::wrong_device, port::Blame::fixture, "fixture",
            seen + "; \"" + fixture.fixture + "\" is number " +
                std::to_string(fixture.identity->number) +
                ". Nothing was moved. Plug in the right one, or use the profile of this one."};
}

}  // namespace

Act<void> right_fixture(port::RelayBank& relays, const language::FixtureProfile& fixture) {
    const auto& identity = fixture.identity;
    if (!identity) co_return port::Outcome<void>();
    std::uint32_t number = 0;
    for (std::size_t bit = 0; bit < identity->inputs.size(); ++bit) {
        auto closed = co_await relays.input(identity->inputs[bit]);
        if (!closed) co_return closed.error();
        if (*closed) number |= 1U << bit;
    }
    if (number != identity->number) co_return another_fixture(fixture, number);
    co_return port::Outcome<void>();
}

}  // namespace padtrim::engine
