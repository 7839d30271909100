#include "station/cli/store_commands.hpp"

#include <CLI/CLI.hpp>

#include "station/cli/station_wish.hpp"

namespace padtrim::cli {
namespace {

const std::string rollups_help =
    std::string(
        "Example:\n"
        "  padtrim rollups rebuild --records line3.sqlite\n"
        "\n"
        "Counts and sums of all units are kept as units end, so that padtrim yield need not "
        "walk every run. This makes them\nanew from the runs; rows that were right come out "
        "the same to the bit. Needed for no daily work. The station's\ndaemon must not hold "
        "the records meanwhile.\n\n") +
    exit_codes;

const std::string shifts_help =
    std::string(
        "Examples:\n"
        "  padtrim shifts --records line3.sqlite --station line-3\n"
        "  padtrim shifts 05:00 13:00 21:00 --records line3.sqlite --station line-3 --who M "
        "--why 'summer time'\n"
        "\n"
        "When the station's shifts begin, in UTC, for runs from now on; without times it "
        "tells them. 06:00, 14:00 and 22:00\nunless said otherwise. Where clocks change "
        "twice a year, so do these.\n\n") +
    exit_codes;

const std::string verify_help =
    std::string(
        "Example:\n"
        "  padtrim verify-records --records line3.sqlite\n"
        "\n"
        "Walks the chain that every finished record is part of, against the rows, the key "
        "and the anchor beside the file, and\nnames records that were changed, put in or "
        "taken out, and a tail that was cut off. It cannot see what somebody did\nwho has "
        "file, key and anchor: keep a copy of the anchor elsewhere. Only reads; a station "
        "may be writing.\n\n") +
    "Exit codes: 0 done, 1 something does not fit, 2 bad input, 3 the records are held.";

const std::string backup_help =
    std::string(
        "Example:\n"
        "  padtrim backup --records line3.sqlite --to /backups/line3-2026-03-31.sqlite\n"
        "\n"
        "Copies the records from one moment, beside a running station, and verifies the "
        "copy before it counts: two files, the\nrecords and their anchor. The key stays "
        "where it is: keep a copy of it apart, for whoever has it can forge.\n\n") +
    exit_codes;

const std::string restore_help =
    std::string(
        "Example:\n"
        "  padtrim restore /backups/line3-2026-03-31.sqlite --records line3.sqlite\n"
        "\n"
        "Puts a copy in the place of the records, after it was verified. The station has to "
        "be stopped. What stood there is kept\nbeside it. Records that were made since the "
        "copy are lost, and the chain says so.\n\n") +
    exit_codes;

const std::string retire_help =
    std::string(
        "Example:\n"
        "  padtrim retire --records line3.sqlite --older-than 730 --who M --why 'two years are "
        "agreed'\n"
        "\n"
        "Removes the raw readings of runs that ended so many days ago. Results, limits, "
        "verdicts and everything else stay; which\nrun lost its readings, when and by whom "
        "is kept, and the chain of records stays whole. What has no readings cannot be\n"
        "judged again (padtrim rejudge). Make a copy first (padtrim backup). Without "
        "--older-than it tells what was removed.\n\n") +
    exit_codes;

const std::string downtime_help =
    std::string(
        "Examples:\n"
        "  padtrim downtime --begin --reason 'glass change' --who M --records line3.sqlite "
        "--station line-3\n"
        "  padtrim downtime --end --who M --records line3.sqlite --station line-3\n"
        "  padtrim downtime --records line3.sqlite --station line-3 --since 2026-03-01\n"
        "\n"
        "When a station stood still, and why, in the plant's own words. --since and --until "
        "tell times that are past (UTC); without\n--begin and --end they say which "
        "downtimes to list, with the total by reason.\n\n") +
    exit_codes;

const std::string audit_help =
    std::string(
        "Examples:\n"
        "  padtrim audit --records line3.sqlite --since 2026-03-01\n"
        "  padtrim audit --records line3.sqlite --who M --json\n"
        "\n"
        "Who changed what over HTTP, or was refused, newest first: the newest 1000 of those that "
        "are "
        "asked for. Times are UTC. Nothing edits\nthe audit; a station may be writing.\n\n") +
    exit_codes;

CLI::App* act(CLI::App& app, const char* name, const char* what, const std::string& help,
              StoreCommand& command, StoreAct which) {
    CLI::App* made = app.add_subcommand(name, what);
    made->add_option("--records", command.records, "file of records")
        ->required()
        ->type_name("FILE");
    made->add_flag("--json", command.json, "the answer as JSON");
    made->footer(help);
    made->callback([&command, which] { command.act = which; });
    return made;
}

void add_decision(CLI::App& made, StoreCommand& command) {
    made.add_option("--who", command.who, "who decides this")->type_name("NAME");
    made.add_option("--why", command.why, "the reason, for the records")->type_name("TEXT");
}

void add_rollups(CLI::App& app, StoreCommand& command) {
    CLI::App* group = app.add_subcommand("rollups", "counts and sums that are kept of all units");
    group->require_subcommand(1);
    act(*group, "rebuild", "make them anew from the runs", rollups_help, command,
        StoreAct::rebuild_rollups);
}

void add_shifts(CLI::App& app, StoreCommand& command) {
    CLI::App* shifts = act(app, "shifts", "when the station's shifts begin", shifts_help, command,
                           StoreAct::shifts);
    shifts->add_option("begins", command.begins, "times of day, UTC")->type_name("HH:MM");
    shifts->add_option("--station", command.station, "of this station")
        ->required()
        ->type_name("NAME");
    add_decision(*shifts, command);
}

void add_copies(CLI::App& app, StoreCommand& command) {
    CLI::App* backup = act(app, "backup", "a verified copy of the records, while they are written",
                           backup_help, command, StoreAct::backup);
    backup->add_option("--to", command.other, "the copy; not there yet")
        ->required()
        ->type_name("FILE");
    CLI::App* restore = act(app, "restore", "a copy back in the place of the records", restore_help,
                            command, StoreAct::restore);
    restore->add_option("copy", command.other, "made by padtrim backup")
        ->required()
        ->type_name("COPY");
}

void add_retire(CLI::App& app, StoreCommand& command) {
    CLI::App* retire = act(app, "retire", "remove old raw readings; results stay", retire_help,
                           command, StoreAct::retire);
    retire->add_option("--older-than", command.days, "of runs that ended so many days ago")
        ->check(CLI::Range(1u, 100000u))
        ->type_name("DAYS");
    add_decision(*retire, command);
}

void add_downtime(CLI::App& app, StoreCommand& command) {
    CLI::App* down = act(app, "downtime", "when a station stood still, and why", downtime_help,
                         command, StoreAct::downtime);
    down->add_option("--station", command.station, "of this station")
        ->required()
        ->type_name("NAME");
    CLI::Option* begin = down->add_flag("--begin", command.begin, "it stands still");
    down->add_flag("--end", command.end, "it goes on")->excludes(begin);
    down->add_option("--reason", command.reason, "the same words for the same reason")
        ->needs(begin)
        ->type_name("TEXT");
    down->add_flag("--planned", command.planned, "as planned")->needs(begin);
    down->add_option("--since", command.since, "from this time on")->type_name("TIME");
    down->add_option("--until", command.until, "until this time")->type_name("TIME");
    down->add_option("--who", command.who, "who says so")->type_name("NAME");
    down->add_option("--why", command.why, "a note")->needs(begin)->type_name("TEXT");
}

void add_audit(CLI::App& app, StoreCommand& command) {
    CLI::App* audit =
        act(app, "audit", "who changed what over HTTP", audit_help, command, StoreAct::audit);
    audit->add_option("--since", command.since, "from this time on")->type_name("TIME");
    audit->add_option("--until", command.until, "until this time")->type_name("TIME");
    audit->add_option("--who", command.who, "of this login")->type_name("NAME");
}

void add_verify(CLI::App& app, StoreCommand& command) {
    act(app, "verify-records", "whether the records are those that the station wrote", verify_help,
        command, StoreAct::verify);
}

}  // namespace

void add_store_commands(CLI::App& app, StoreCommand& command) {
    add_rollups(app, command);
    add_shifts(app, command);
    add_verify(app, command);
    add_copies(app, command);
    add_retire(app, command);
    add_downtime(app, command);
    add_audit(app, command);
}

}  // namespace padtrim::cli
