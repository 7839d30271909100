// How long a unit takes: what physics demands (the floor) and what is expected with the links'
// talk. Pure; from the plan alone.
//
// Floor: relay settling, scans, the finger's way at its speeds and its settling, power off and
// boot, commit. Expected adds the bytes of each transaction at the link's baud rate. Acceleration
// of the finger, waiting for another nest and retries are in neither.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "recipes/language/plan.hpp"

namespace padtrim::engine {

using Span = std::chrono::duration<double, std::milli>;

// What the time goes to. Talk on the links is the one part that is not in the floor.
enum class Work : std::uint8_t { scanning, settling, finger, power, waiting, talk };
inline constexpr std::size_t kinds_of_work = 6;
[[nodiscard]] std::string_view name_of(Work work);

struct Duration {
    Span floor{0.0}, expected{0.0};
    std::array<Span, kinds_of_work> spent{};  // by Work; their sum is `expected`
    [[nodiscard]] Span of(Work work) const { return spent[static_cast<std::size_t>(work)]; }
    Duration& operator+=(const Duration& other) {
        floor += other.floor;
        expected += other.expected;
        for (std::size_t i = 0; i < kinds_of_work; ++i) spent[i] += other.spent[i];
        return *this;
    }
    friend Duration operator*(double times, Duration one) {
        one.floor *= times;
        one.expected *= times;
        for (Span& each : one.spent) each *= times;
        return one;
    }
};

struct StepDuration {
    std::string step;
    Duration time;
};

struct UnitDuration {
    Duration start;  // power, boot, identity
    std::vector<StepDuration> steps;
    [[nodiscard]] Duration whole() const;
    // Expected from a place in the plan to its end: `done` of `of` of that step are behind.
    [[nodiscard]] std::chrono::milliseconds left(std::size_t step, std::uint32_t done,
                                                 std::uint32_t of) const;
};

// The time of one scan: its own, and with its transactions.
[[nodiscard]] Duration scan_duration(const language::Plan& plan);
[[nodiscard]] UnitDuration estimate(const language::Plan& plan);

}  // namespace padtrim::engine
