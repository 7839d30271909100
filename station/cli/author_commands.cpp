#include "station/cli/author_commands.hpp"

#include <CLI/CLI.hpp>

#include "station/cli/station_wish.hpp"
#include "station/cli/validators.hpp"

namespace padtrim::cli {
namespace {

constexpr const char* header_help =
    "Example:\n"
    "  padtrim header units/hob-panel-8.toml > hob_panel_8.h\n"
    "  cc -std=c99 -Wall -Wextra -Werror -pedantic -c firmware.c\n"
    "\n"
    "The header holds the map's addresses and formats, what the station writes to command the "
    "unit, "
    "and the\ncorrection in whole-number arithmetic with its rounding and its limits, all as C99 "
    "that needs <stdint.h> only.\nFirmware that takes them from there agrees with the station to "
    "the bit. MAP_SHA256 in it names the map's file\n(sha256sum): make the header again whenever "
    "that differs.\n"
    "\n"
    "Exit codes: 0 done, 1 never, 2 the map is bad, 3 never.";

constexpr const char* rejudge_help =
    "Examples:\n"
    "  padtrim rejudge --records line3.sqlite --since 2026-03-01\n"
    "  padtrim rejudge hob-panel-8-wider.toml --records line3.sqlite --since 2026-03-01 --all\n"
    "\n"
    "Without a recipe every stored run is judged again by its own plan: under the same formulas "
    "every value, verdict and\nsentence has to come out as stored; anything else is told and ends "
    "with 1. With a recipe the stored observations\nare judged by that recipe, on the register map "
    "and fixture of their time: what would yield have been, per check and\nkey? A unit that the "
    "old "
    "limits stopped was not measured to its end; where the recipe lets it go on it is open, and\n"
    "yields are given as a range.\n"
    "\n"
    "Only reads; a station may be writing at the same time. Times are UTC: 2026-03-01 or "
    "2026-03-01T08:15; --until a\nday takes that day in.\n"
    "\n"
    "Exit codes: 0 done, 1 something differs under the same plan and formulas, 2 bad input, 3 the "
    "records are held or full.";

void add_runs_wish(CLI::App& command, RunsWish& of) {
    command.add_option("--records", of.records, "file of records")->required()->type_name("FILE");
    command.add_option("--since", of.since, "runs begun at this time or later")->type_name("TIME");
    command.add_option("--until", of.until, "runs begun before the end of this time")
        ->type_name("TIME");
    command.add_option("--lot", of.lot, "of this lot only")->type_name("NAME");
    command.add_option("--of-recipe", of.recipe, "run with the recipe of this name only")
        ->type_name("NAME");
    command.add_option("--station", of.station, "of this station only")->type_name("NAME");
    command.add_flag("--measure-only", of.measure_only, "of lots that were only measured");
    command.add_flag("--released", of.released, "of production only, no drafts");
}

void add_rejudge(CLI::App& app, RejudgeCommand& rejudge) {
    CLI::App* command =
        app.add_subcommand("rejudge", "judge stored observations again, by another recipe too");
    command->add_option("recipe", rejudge.recipe, "recipe to judge by (default: each run's own)")
        ->type_name("RECIPE");
    add_runs_wish(*command, rejudge.of);
    command->add_flag("--all", rejudge.all, "every check and key, those that all units pass too");
    command->add_flag("--json", rejudge.json, "the answer as JSON");
    command->footer(rejudge_help);
}

constexpr const char* limits_help =
    "Examples:\n"
    "  padtrim limits --records line3.sqlite --since 2026-03-01\n"
    "  padtrim limits gain offset --records line3.sqlite --content 0.999 --keys\n"
    "\n"
    "Limits that hold at least the stated share of what the line makes, with the stated confidence "
    "(statistical tolerance\nintervals, ISO 16269-6), from as-found results: for a normal "
    "distribution, mean and k standard deviations; and\ndistribution-free, from the order of the "
    "values alone, where there are enough of them. Beside each: how many of the\nstored units it "
    "would have passed, by the decision rule of the newest recipe. Each unit counts by its newest "
    "run, failed\nunits too. Sides are those of the limits in force. One line holds every key; "
    "--keys adds each key by itself.\n"
    "\n"
    "A proposal says what the line does, not what the product needs.\n"
    "\n"
    "Exit codes: 0 done, 1 never, 2 bad input (a check that no stored run has, too), 3 the records "
    "are "
    "held.";

constexpr const char* release_help =
    "Examples:\n"
    "  padtrim release hob-panel-8.toml --fixture hob-line-4-nests.toml --unit "
    "units/hob-panel-8.toml \\\n"
    "      --records line3.sqlite --who 'M' --why 'pilot lot 2231 passed review'\n"
    "  padtrim release --records line3.sqlite\n"
    "  padtrim release --withdraw 4 --records line3.sqlite --who 'M' --why 'noise limit too wide'\n"
    "\n"
    "Lets a plan (this recipe with this register map and fixture profile) into production: hash, "
    "revision, who and why are\nkept in the records, for good. padtrim run takes only released "
    "plans; --draft runs any and marks every result.\nA changed recipe needs a new revision. "
    "Without a recipe the releases are listed. The station's daemon must not hold\nthe records "
    "meanwhile.\n"
    "\n"
    "Exit codes: 0 done, 1 never, 2 bad input (bad documents, released already), 3 the records are "
    "held or "
    "the disk is full.";

constexpr const char* permit_help =
    "Examples:\n"
    "  padtrim permit hob-panel-8-wide.toml --fixture hob-line-4-nests.toml --unit "
    "units/hob-panel-8.toml \\\n"
    "      --records line3.sqlite --name 'wider noise limit' --quantity 200 --until 2026-04-30 \\\n"
    "      --who 'M' --why 'batch 17 of glass, risk assessed'\n"
    "  padtrim permit --records line3.sqlite\n"
    "\n"
    "A deviation permit lets one plan that differs from the newest release of its recipe through, "
    "until a time or for a\nnumber of units, whichever comes first. Its changes are kept in words, "
    "and every unit that ran under it.\nWithout a recipe the permits are listed with their units.\n"
    "\n"
    "Exit codes: 0 done, 1 never, 2 bad input, 3 the records are held or the disk is full.";

constexpr const char* changes_help =
    "Examples:\n"
    "  padtrim changes hob-panel-8.toml hob-panel-8-wide.toml\n"
    "  padtrim changes A hob-panel-8.toml --records line3.sqlite\n"
    "  padtrim changes 3 4 --records line3.sqlite\n"
    "\n"
    "Says in words what changed: limits widened or tightened, steps removed, added or moved, other "
    "values. Each side is\na file (recipe, register map or fixture profile), the number of a "
    "release, or a released revision.\n"
    "\n"
    "Exit codes: 0 done, 1 never (changes or none is 0), 2 bad input, 3 the records are held.";

void add_plan_wish(CLI::App& command, PlanWish& of) {
    command.add_option("recipe", of.recipe, "the recipe (TOML); none: list")->type_name("RECIPE");
    command.add_option("--fixture", of.fixture, "fixture profile (TOML)")->type_name("FILE");
    command.add_option("--unit", of.unit, "register map of the product (TOML)")->type_name("FILE");
    command.add_option("--records", of.records, "file of records (SQLite); made when missing")
        ->required()
        ->type_name("FILE");
    command.add_option("--who", of.who, "who decides this")->type_name("NAME");
    command.add_option("--why", of.why, "the reason, for the records")->type_name("TEXT");
}

void add_release(CLI::App& app, ReleaseCommand& release) {
    CLI::App* command = app.add_subcommand("release", "let a recipe into production");
    add_plan_wish(*command, release.of);
    command->add_option("--withdraw", release.withdraw, "take the release of this number back")
        ->type_name("N");
    command->add_flag("--json", release.json, "the answer as JSON");
    command->footer(release_help);
}

void add_permit(CLI::App& app, PermitCommand& permit) {
    CLI::App* command =
        app.add_subcommand("permit", "let a deviation through, for a time or a quantity");
    add_plan_wish(*command, permit.of);
    command->add_option("--name", permit.name, "what the deviation is called")->type_name("TEXT");
    command->add_option("--until", permit.until, "last day, or time (UTC)")->type_name("TIME");
    command->add_option("--quantity", permit.quantity, "units that it lets through")
        ->check(CLI::Range(1u, 100'000'000u))
        ->type_name("N");
    command->add_flag("--json", permit.json, "the answer as JSON");
    command->footer(permit_help);
}

void add_changes(CLI::App& app, ChangesCommand& changes) {
    CLI::App* command = app.add_subcommand("changes", "what changed between two recipes, in words");
    command->add_option("before", changes.before, "file, release or revision")
        ->required()
        ->type_name("BEFORE");
    command->add_option("after", changes.after, "file, release or revision")
        ->required()
        ->type_name("AFTER");
    command->add_option("--records", changes.records, "file of records, for released revisions")
        ->type_name("FILE");
    command->add_flag("--json", changes.json, "the answer as JSON");
    command->footer(changes_help);
}

void add_limits(CLI::App& app, LimitsCommand& limits) {
    CLI::App* command = app.add_subcommand("limits", "propose limits from stored results");
    command->add_option("checks", limits.checks, "names of checks (default: all)")
        ->type_name("CHECK");
    add_runs_wish(*command, limits.of);
    command->add_option("--content", limits.content, "share of units that the limits shall hold")
        ->check(within(0.5, 0.999999))
        ->type_name("SHARE")
        ->capture_default_str();
    command->add_option("--confidence", limits.confidence, "that they do")
        ->check(within(0.5, 0.999999))
        ->type_name("SHARE")
        ->capture_default_str();
    command->add_flag("--keys", limits.keys, "each key and frequency by itself too");
    command->add_flag("--json", limits.json, "the answer as JSON");
    command->footer(limits_help);
}

void add_header(CLI::App& app, HeaderCommand& header) {
    CLI::App* command = app.add_subcommand("header", "C99 header of a register map, for firmware");
    command->add_option("map", header.map, "register map of the product (TOML)")
        ->required()
        ->type_name("MAP");
    command
        ->add_option("--name", header.name,
                     "what every name in it begins with (default: the product's name)")
        ->type_name("NAME");
    command->add_flag("--json", header.json, "the answer as JSON, the header in its \"text\"");
    command->footer(header_help);
}

constexpr const char* reference_help =
    "Example:\n"
    "  padtrim reference measure --fixture lamp-line-1-nest-scpi.toml --out lamp-line-new.toml \\\n"
    "      --certificate 'step record 27-0104' --room 23.4 --adapter-laid\n"
    "\n"
    "Characterises every reference step at the contact's tip, per nest and channel, with the meter "
    "of the profile's [meter]\ntable: open and short standards of the adapter, then each tip with "
    "references open, closed, open. Prints what changed\nsince the last characterisation and each "
    "step's uncertainty, and writes the profile with the new values, comments\nkept, to a new "
    "file; "
    "--write puts it in the profile's own place. A changed profile makes a new plan: release it.\n"
    "\n"
    "Before: lay the adapter into every nest in a unit's place, connect the meter, close the "
    "guard, "
    "and wait until the\nfixture has the room's temperature.\n"
    "\n"
    "Caution: this presses the contact pins down by itself, nest after nest. Pinch: hands out of "
    "the "
    "fixture while it is\nenabled. No unit is powered and the dummy finger is not moved, but the "
    "adapter carries the meter's test voltage.\nTake power away by hardware before you reach in. "
    "Stopping commands is not stopping motion; software is never the\nsafety function: guard, "
    "emergency stop and enabling device have to work without it. Local codes and licensed "
    "practice\ncome first.\n"
    "\n"
    "Exit codes: 0 done, 1 a step changed by more than uncertainties and chance allow, 2 bad "
    "input, "
    "3 fixture or meter fault.";

void add_reference(CLI::App& app, ReferenceCommand& reference) {
    CLI::App* group = app.add_subcommand("reference", "what is known of a fixture's references");
    group->require_subcommand(1);
    CLI::App* command = group->add_subcommand(
        "measure", "characterise the reference steps with an LCR meter (presses the pins!)");
    command->add_option("--fixture", reference.fixture, "fixture profile (TOML) with a [meter]")
        ->required()
        ->type_name("FILE");
    reference.ports = usual_ports;
    command->add_option("--ports", reference.ports, "where the profile's port names are found")
        ->type_name("DIR")
        ->capture_default_str();
    CLI::Option* out = command->add_option("--out", reference.out, "new file for the new profile")
                           ->type_name("FILE");
    command->add_flag("--write", reference.write, "write the profile in its own place")
        ->excludes(out);
    command->add_option("--certificate", reference.certificate, "number of this characterisation")
        ->required()
        ->type_name("TEXT");
    command
        ->add_option("--due", reference.due,
                     "day of the next one (default: as long from today as it was)")
        ->type_name("DATE");
    command->add_option("--room", reference.room, "the room's temperature in degC")
        ->required()
        ->check(within(-40.0, 125.0))
        ->type_name("DEGC");
    command->add_option("--repeats", reference.repeats, "of each step")
        ->check(CLI::Range(2u, 1000u))
        ->type_name("N")
        ->capture_default_str();
    command
        ->add_option("--records", reference.records,
                     "file of records that counts the wear of the contacts (default: not counted)")
        ->type_name("FILE");
    reference.station = "station";
    command->add_option("--station", reference.station, "name of this station in the records")
        ->type_name("NAME")
        ->capture_default_str();
    command->add_flag("--adapter-laid", reference.adapter_laid,
                      "the adapter lies in every nest and nobody's hands are near");
    command->add_flag("--json", reference.json, "the answer as JSON");
    command->footer(reference_help);
}

}  // namespace

void add_author_commands(CLI::App& app, AuthorCommands& commands) {
    add_header(app, commands.header);
    add_rejudge(app, commands.rejudge);
    add_limits(app, commands.limits);
    add_release(app, commands.release);
    add_permit(app, commands.permit);
    add_changes(app, commands.changes);
    add_reference(app, commands.reference);
}

}  // namespace padtrim::cli
