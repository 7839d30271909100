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

struct FixtureCommands {
    PortsCommand ports;
};

void add_fixture_commands(CLI::App& app, FixtureCommands& commands);

}  // namespace padtrim::cli
