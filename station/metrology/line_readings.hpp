// The readings of one channel at one frequency as the line fit takes them.
//
// Internal to the room; pure.
#pragma once

#include <span>
#include <vector>

#include "station/metrology/case.hpp"
#include "station/metrology/channel_line.hpp"

namespace padtrim::metrology {

struct LineReadings {
    std::vector<LinePoint> points;
    double rounding = 0.0;
    double scatter_degrees = 0.0;
    TipPart part;
    TemperatureDoubt temperature;
    LineProblem problem;  // a sentence when the readings cannot be used
    // Refers to the points.
    [[nodiscard]] LineInput input() const {
        return {points, rounding, scatter_degrees, part, temperature};
    }
};
[[nodiscard]] LineReadings line_readings(const Case& unit, std::span<const StateMean> states,
                                         const Scatter& scatter, std::size_t channel,
                                         std::size_t frequency);

}  // namespace padtrim::metrology
