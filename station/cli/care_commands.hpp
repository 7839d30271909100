// The commands that look after the station itself, as plain values. Part of the command line
// (command_line.hpp).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "station/cli/station_wish.hpp"

namespace CLI {
class App;
}

namespace padtrim::cli {

// Measures check standards and the challenge unit; without a recipe it lists earlier checks.
struct ShiftCheckCommand {
    StationWish of;
    std::string who, why;
    bool new_charts = false;  // charts learn anew
    bool json = false;
    bool plain = false;
    LogWish log;
};

// How worn a fixture's contacts are; `replaced` says that these coils' contacts are new.
struct WearCommand {
    std::string fixture, records, station;
    std::vector<std::uint16_t> replaced;
    std::string who, why;
    bool all = false;
    bool json = false;
};

struct CareCommands {
    ShiftCheckCommand shift_check;
    WearCommand wear;
};

void add_log_options(CLI::App& command, LogWish& log);
void add_care_commands(CLI::App& app, CareCommands& commands);

}  // namespace padtrim::cli
