// How long a unit takes: what physics demands (the floor) and what is expected with the links'
// talk. Pure; from the plan alone.
//
// Floor: relay settling, scans, the finger's way at its speeds and its settling, power off and
// boot, commit. Expected adds the bytes of each transaction at the link's baud rate. Acceleration
// of the finger, waiting for another nest and retries are in neither.
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "recipes/language/plan.hpp"

namespace padtrim::engine {

using Span = std::chrono::duration<double, std::milli>;

struct Duration {
    Span floor{0.0}, expected{0.0};
    Duration& operator+=(const Duration& other) {
        floor += other.floor;
        expected += other.expected;
        return *this;
    }
    friend Duration operator*(double times, Duration one) {
        return {times * one.floor, times * one.expected};
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
