#include "station/cli/fixture_commands.hpp"

#include <CLI/CLI.hpp>

#include "station/cli/station_wish.hpp"
#include "station/cli/validators.hpp"

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
    "homes before its next move; stay clear of the\nfixture. No other program may hold the ports "
    "meanwhile.\n"
    "\n"
    "Exit codes: 0 done, 2 bad input, 3 a device that the profile declares did not answer.";

void add_ports(CLI::App& app, PortsCommand& ports) {
    CLI::App* command =
        app.add_subcommand("ports", "serial ports with stable names, and what answers on them");
    ports.ports = usual_ports;
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

const std::string teach_help =
    std::string(
        "Example:\n"
        "  padtrim teach --fixture hob-line-1-nest.toml --unit units/hob-panel-8.toml --nest 1 \\\n"
        "      --out hob-line-taught.toml\n"
        "\n"
        "Finds keys of the unit in a nest by their counts and writes the nest's origin into the "
        "profile, comments kept: to a\nnew file, or with --write in the profile's own place. The "
        "finger is held --height above the surface that the profile\nstates, over places around "
        "the key: out to both sides along X until the change of the counts is below half of\nthe "
        "largest, each edge halved to 0.5 mm, the middle taken; then along Y, and along X again. "
        "Sideways it goes at\nthe safe height only, and never beyond the profile's travel.\n"
        "Lines that are typed (each also says that you are still there; Enter alone does):\n"
        "  clear              nobody's hands are near: the finger may move. Also after a stop; the "
        "finger homes then\n"
        "  x 1.5, y -2, z 5   a step in mm, 10 at most; sideways over the safe height and back "
        "down\n"
        "  find KEY [here]    the key's centre, from its place in the profile or from the "
        "finger's\n"
        "  all                every button in turn; sliders, wheels and proximity keys are left "
        "out\n"
        "  where              where the finger stands\n"
        "  stop               ends motion by words; what was typed before it is forgotten\n"
        "  write              says how well the keys agree, writes the profile, ends\n"
        "  quit               ends without writing\n"
        "When nothing is typed for --lease seconds, an input opens or you type stop, a finger on "
        "its way is told to stop, and\nnothing moves until somebody types clear.\n"
        "\n") +
    cautions +
    "\nA lease is not a hold-to-run device; a wired enabling device is.\n"
    "\nExit codes: 0 written, 1 ended without writing, 2 bad input, 3 station or fixture fault.";

void add_teach(CLI::App& app, TeachCommand& teach) {
    CLI::App* command = app.add_subcommand(
        "teach", "where a nest lies under the finger, by its unit's counts (moves the finger!)");
    command->add_option("--fixture", teach.fixture, "fixture profile (TOML)")
        ->required()
        ->type_name("FILE");
    command->add_option("--unit", teach.unit, "register map of the product (TOML)")
        ->required()
        ->type_name("FILE");
    command->add_option("--nest", teach.nest, "number of the nest")
        ->type_name("N")
        ->capture_default_str();
    teach.ports = usual_ports;
    command->add_option("--ports", teach.ports, "where the profile's port names are found")
        ->type_name("DIR")
        ->capture_default_str();
    CLI::Option* out =
        command->add_option("--out", teach.out, "new file for the new profile")->type_name("FILE");
    command->add_flag("--write", teach.write, "write the profile in its own place")->excludes(out);
    command->add_option("--height", teach.height, "of a search above the surface, in mm")
        ->check(within(0.0, 20.0))
        ->type_name("MM")
        ->capture_default_str();
    command->add_option("--lease", teach.lease_s, "seconds without a line until the finger stops")
        ->check(CLI::Range(2u, 600u))
        ->type_name("S")
        ->capture_default_str();
    command->add_flag("--json", teach.json, "what was taught as JSON, at the end");
    command->footer(teach_help);
}

}  // namespace

void add_fixture_commands(CLI::App& app, FixtureCommands& commands) {
    add_ports(app, commands.ports);
    add_teach(app, commands.teach);
}

}  // namespace padtrim::cli
