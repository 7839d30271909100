// What several commands of one station ask for: its documents, ports and records, and its log.
#pragma once

#include <string>

#include "station/answers/cautions.hpp"

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

// By adapter: names that follow it from socket to socket.
inline constexpr const char* usual_ports = "/dev/serial/by-id";

inline constexpr const char* exit_codes =
    "Exit codes: 0 done, 1 some units did not pass, 2 bad input, 3 station or fixture fault.";

using answers::cautions;

}  // namespace padtrim::cli
