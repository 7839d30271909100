// The commands that set a fixture up, as plain values. Part of the command line (command_line.hpp).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace padtrim::cli {

// Lists serial ports; with a fixture profile, asks the devices that it declares.
struct PortsCommand {
    std::string ports;          // the port directory
    std::string fixture, unit;  // "": nothing is asked
    bool json = false;
};

// Teaches where a nest lies under the finger; a person types what to do.
struct TeachCommand {
    std::string fixture, unit, ports;
    std::uint16_t nest = 1;
    std::string out;             // "": no new file
    bool write = false;          // in place of --fixture
    double height = 1.0;         // mm above the profile's surface
    std::uint32_t lease_s = 60;  // without a line from the person the finger stops
    bool json = false;
};

struct FixtureCommands {
    PortsCommand ports;
    TeachCommand teach;
};

void add_fixture_commands(CLI::App& app, FixtureCommands& commands);

}  // namespace padtrim::cli
