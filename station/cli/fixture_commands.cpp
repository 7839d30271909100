#include "station/cli/fixture_commands.hpp"

#include <CLI/CLI.hpp>

namespace padtrim::cli {
namespace {

constexpr const char* ports_help =
    "Examples:\n"
    "  padtrim ports\n"
    "  padtrim ports --fixture hob-line-1-nest.toml --unit units/hob-panel-8.toml\n"
    "\n"
    "Every serial port with its stable names (by adapter and by socket), what the kernel says of "
    "it, and for how long a USB\nadapter holds bytes back. With --fixture the profile's ports are "
    "opened and each device is asked who it is: the relay\nboard's coils and inputs are read, "
    "instruments say their identity, the motion controller its greeting and place, and\nwith "
    "--unit each unit its identity. Nothing is switched and nothing moves; a unit without power "
    "does not answer.\nOpening a port may reset a device behind it: a motion controller then "
    "homes before its next move. No other program\nmay hold the ports meanwhile.\n"
    "\n"
    "Exit codes: 0 done, 2 bad input, 3 a device that the profile declares did not answer.";

void add_ports(CLI::App& app, PortsCommand& ports) {
    CLI::App* command =
        app.add_subcommand("ports", "serial ports with stable names, and what answers on them");
    ports.ports = "/dev/serial/by-id";
    command->add_option("--ports", ports.ports, "where the profile's port names are found")
        ->type_name("DIR")
        ->capture_default_str();
    CLI::Option* fixture =
        command->add_option("--fixture", ports.fixture, "ask the devices of this profile (TOML)")
            ->type_name("FILE");
    command->add_option("--unit", ports.unit, "register map of the product (TOML): ask units too")
        ->needs(fixture)
        ->type_name("FILE");
    command->add_flag("--json", ports.json, "the answer as JSON");
    command->footer(ports_help);
}

}  // namespace

void add_fixture_commands(CLI::App& app, FixtureCommands& commands) {
    add_ports(app, commands.ports);
}

}  // namespace padtrim::cli
