// Settling of an electrode through its series resistor: what part of a change is still missing
// after the time that the sensor gives it. Residual = exp(-t / (R C)), the step response of a
// first-order branch (textbook form; check values in tests/recipes/quantity/).
#pragma once

#include <cmath>

#include "recipes/quantity/quantity.hpp"

namespace padtrim {

// Time constant R C of one branch; ohm times picofarad is 1e-9 ms.
[[nodiscard]] inline Millisecond time_constant(Ohm series, Picofarad load) {
    return Millisecond(series.value() * load.value() * 1e-9);
}

// Part of a step that is still missing after `given`, between 0 (settled) and 1.
// A branch without resistance or load is settled at once.
[[nodiscard]] inline double unsettled_part(Millisecond given, Ohm series, Picofarad load) {
    const Millisecond tau = time_constant(series, load);
    if (tau.value() <= 0.0) return 0.0;
    return std::exp(-(given / tau));
}

// What may be missing of a reading's charge: beyond it a reference is refused.
inline constexpr double largest_unsettled_part = 1e-3;

// Half a period of the drive: the time in which a sensor charges its electrode.
[[nodiscard]] constexpr Millisecond charge_time(Kilohertz drive) {
    return Millisecond(0.5 / drive.value());
}

}  // namespace padtrim
