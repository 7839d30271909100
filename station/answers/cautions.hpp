// What every face says that makes a station move: for a screen of 80 columns or more, its lines are
// broken where they are. Software is never the safety function (ISO 12100, ISO 13849-1 and
// IEC 60204-1 are the integrator's).
#pragma once

#include <string>

namespace padtrim::answers {

inline constexpr const char* cautions =
    "Caution: this moves the dummy finger and puts power on units, by itself. Pinch and impact: "
    "keep hands out of\nthe fixture while it is enabled. Stopping commands is not stopping motion. "
    "Take power away by hardware before\nyou reach in. Software is never the safety function: "
    "guard, emergency stop and enabling device have to work\nwithout it. A button on a screen is "
    "no "
    "hold-to-run device. Local codes and licensed practice come first.";

// The same as one line.
[[nodiscard]] inline std::string caution_line() {
    std::string line = cautions;
    for (char& letter : line)
        if (letter == '\n') letter = ' ';
    return line;
}

}  // namespace padtrim::answers
