#include "station/cli/care_commands.hpp"

#include <CLI/CLI.hpp>

namespace padtrim::cli {
namespace {

const std::string shift_check_help =
    std::string(
        "Examples:\n"
        "  padtrim shift-check hob-panel-8.toml --fixture hob-line-1-nest.toml --unit "
        "units/hob-panel-8.toml \\\n"
        "      --records line3.sqlite --station line-3 --operator M\n"
        "  padtrim shift-check --records line3.sqlite --station line-3\n"
        "  padtrim shift-check --new-charts --fixture hob-line-1-nest.toml --records line3.sqlite "
        "\\\n"
        "      --station line-3 --operator M --why 'finger tip replaced'\n"
        "\n"
        "Measures the check standards and the challenge unit that the fixture profile names "
        "([shift_check]), in every nest,\nwith the measuring steps of the recipe; nothing is "
        "written to them. Their values go on control charts for single\nvalues (ISO 7870-2). The "
        "station is ready when all are within their limits, every standard passes and the\n"
        "challenge unit is rejected; otherwise it is blocked, with the cause and the way out. "
        "padtrim run and the daemon\nrefuse production while it is blocked, or when the last good "
        "check is older than the profile says; --draft goes\non and marks every result.\n"
        "The charts learn from the first measurements (baseline in the profile); --new-charts "
        "lets them learn anew.\nWithout a recipe the earlier checks are told. A daemon "
        "that holds the records does the check itself:\nPOST /api/shift-check/start.\n"
        "\n") +
    cautions +
    "\n\nExit codes: 0 ready, 1 blocked, 2 bad input, 3 station or fixture fault, or units that "
    "did not come: nothing is\ndecided then.";

void add_shift_check(CLI::App& app, ShiftCheckCommand& check) {
    CLI::App* command = app.add_subcommand(
        "shift-check", "whether the station still measures as it did, by check standards");
    StationWish& of = check.of;
    command->add_option("recipe", of.recipe, "its measuring steps are done (TOML); none: list")
        ->type_name("RECIPE");
    command->add_option("--fixture", of.fixture, "fixture profile (TOML) with a [shift_check]")
        ->type_name("FILE");
    command->add_option("--unit", of.unit, "register map of the product (TOML)")->type_name("FILE");
    of.ports = usual_ports;
    command->add_option("--ports", of.ports, "where the profile's port names are found")
        ->type_name("DIR")
        ->capture_default_str();
    command->add_option("--records", of.records, "file of records (SQLite); made when missing")
        ->required()
        ->type_name("FILE");
    of.station = "station";
    command->add_option("--station", of.station, "name of this station in the records")
        ->type_name("NAME")
        ->capture_default_str();
    command->add_option("--operator", check.who, "who does this")->type_name("NAME");
    command->add_flag("--new-charts", check.new_charts, "charts learn anew from the next check on");
    command->add_option("--why", check.why, "the reason for new charts")->type_name("TEXT");
    command->add_flag("--json", check.json, "events and the check as JSON, one object a line");
    command->add_flag("--plain", check.plain, "lines instead of the live view, on a terminal too");
    add_log_options(*command, check.log);
    command->footer(shift_check_help);
}

constexpr const char* wear_help =
    "Examples:\n"
    "  padtrim wear hob-line-1-nest.toml --records line3.sqlite --station line-3\n"
    "  padtrim wear hob-line-1-nest.toml --records line3.sqlite --station line-3 --replaced 40 \\\n"
    "      --who M --why 'pins worn'\n"
    "\n"
    "How often each relay of the fixture worked and each nest's pins touched, over all lots and "
    "shift checks of this\nstation, as share of the rated lives in the profile's [contact_lives]. "
    "From 90 % of a life on maintenance is told,\nhere and before each lot. --replaced begins a "
    "count anew. A daemon of this station must not hold the records then.\nCounts may be short by "
    "up to 25 units after a power cut.\n"
    "\n"
    "Exit codes: 0 done, 1 something is worn, 2 bad input, 3 the records are held or the disk is "
    "full.";

void add_wear(CLI::App& app, WearCommand& wear) {
    CLI::App* command = app.add_subcommand("wear", "how worn a fixture's relays and pins are");
    command->add_option("fixture", wear.fixture, "fixture profile (TOML)")
        ->required()
        ->type_name("PROFILE");
    command->add_option("--records", wear.records, "file of records")
        ->required()
        ->type_name("FILE");
    wear.station = "station";
    command->add_option("--station", wear.station, "name of this station in the records")
        ->type_name("NAME")
        ->capture_default_str();
    command->add_option("--replaced", wear.replaced, "the contacts of these coils are new")
        ->type_name("COIL");
    command->add_option("--who", wear.who, "who replaced them")->type_name("NAME");
    command->add_option("--why", wear.why, "the reason, for the records")->type_name("TEXT");
    command->add_flag("--all", wear.all, "every contact, not the most worn");
    command->add_flag("--json", wear.json, "the answer as JSON");
    command->footer(wear_help);
}

}  // namespace

void add_log_options(CLI::App& command, LogWish& log) {
    command.add_option("--log", log.file, "log file, rotated (default: RECORDS.log)")
        ->type_name("FILE");
    command
        .add_option("--log-level", log.level,
                    "how much is logged, to file and stderr (default: info to the file, warnings "
                    "to stderr)")
        ->check(CLI::IsMember({"debug", "info", "warning", "error"}))
        ->type_name("LEVEL");
}

void add_care_commands(CLI::App& app, CareCommands& commands) {
    add_shift_check(app, commands.shift_check);
    add_wear(app, commands.wear);
}

}  // namespace padtrim::cli
