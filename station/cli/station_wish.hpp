// What several commands of one station ask for: its documents, ports and records, and its log.
#pragma once

#include <string>

namespace padtrim::cli {

struct LogWish {
    std::string file;   // "": beside the file of records
    std::string level;  // "": info to the file, warnings to stderr
};

// The documents and ports of a station.
struct StationWish {
    std::string recipe, fixture, unit;
    std::string ports;
    std::string records;
    std::string station;
};

inline constexpr const char* exit_codes =
    "Exit codes: 0 done, 1 some units did not pass, 2 bad input, 3 station or fixture fault.";

inline constexpr const char* cautions =
    "Caution: this moves the dummy finger and puts power on units, by itself. Pinch and impact: "
    "keep hands out of\nthe fixture while it is enabled. Stopping commands is not stopping motion. "
    "Take power away by hardware before\nyou reach in. Software is never the safety function: "
    "guard, emergency stop and enabling device have to work\nwithout it. A button on a screen is "
    "no "
    "hold-to-run device. Local codes and licensed practice come first.";

}  // namespace padtrim::cli
