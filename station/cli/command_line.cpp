#include "station/cli/command_line.hpp"

#include <sstream>

#include <CLI/CLI.hpp>

#include "station/cli/validators.hpp"

namespace padtrim::cli {
namespace {

constexpr const char* overview =
    "padtrim measures, adjusts, verifies and records capacitive touch panels.\n"
    "\n"
    "A first look, without hardware:\n"
    "  padtrim check RECIPE.toml UNIT.toml FIXTURE.toml\n"
    "  padtrim bench --fixture FIXTURE.toml --unit UNIT.toml --ports DIR &\n"
    "  padtrim release RECIPE.toml --fixture FIXTURE.toml --unit UNIT.toml \\\n"
    "      --records lots.sqlite --who ME --why first\n"
    "  padtrim run RECIPE.toml --fixture FIXTURE.toml --unit UNIT.toml --ports DIR \\\n"
    "      --records lots.sqlite --lot first\n"
    "  padtrim unit SERIAL --records lots.sqlite\n"
    "  padtrim yield --records lots.sqlite\n"
    "\n"
    "padtrim COMMAND --help tells more of each.";

const std::string run_help =
    std::string(
        "Example:\n"
        "  padtrim run hob-panel-8.toml --fixture hob-line-4-nests.toml --unit "
        "units/hob-panel-8.toml \\\n"
        "      --records line3.sqlite --station line-3 --lot 2231 --operator M\n"
        "\n"
        "On a terminal the nests are drawn as they work; otherwise each event is a line. "
        "--json prints each event\nas a JSON object and the lot's report last. When the "
        "station's daemon runs (padtrim serve), it gets the lot\nand is followed.\n"
        "Ctrl-C once: no more units are loaded, running ones end. Twice: running ones are "
        "aborted. A unit that was\nnot yet written to gets no verdict and can be run "
        "again; one that was is quarantined, because nothing\nproves what it holds.\n"
        "A lot that is run again goes on: units that passed are set aside, not run "
        "twice.\n"
        "The plan has to be released in the records (padtrim release), or let through by a permit "
        "(padtrim permit).\n--draft runs any plan and marks every result as a draft's.\n"
        "\n") +
    cautions + "\n\n" + exit_codes;

const std::string serve_help =
    std::string(
        "Example:\n"
        "  padtrim serve hob-panel-8.toml --fixture hob-line-4-nests.toml --unit "
        "units/hob-panel-8.toml \\\n"
        "      --records line3.sqlite --station line-3\n"
        "  curl http://127.0.0.1:8480/api/status\n"
        "  curl -X POST -H 'Content-Type: application/json' -d '{\"lot\": \"2231\"}' \\\n"
        "      http://127.0.0.1:8480/api/lot/start\n"
        "\n"
        "Answers on the loopback address only; docs/commands.md lists the calls. Its "
        "address stands in RECORDS.daemon,\nwhere padtrim run finds it. It ends at "
        "Ctrl-C or SIGTERM, after running units have ended; a second signal\naborts "
        "them.\n"
        "\n") +
    cautions + "\n\n" + exit_codes;

const std::string bench_help =
    std::string(
        "Example:\n"
        "  padtrim bench --fixture hob-line-4-nests.toml --unit units/hob-panel-8.toml "
        "--ports /tmp/bench \\\n"
        "      --seed 7 --rate 10 --units 24 --truth /tmp/bench/truth.json\n"
        "\n"
        "Offers pseudo-terminals, named as the fixture profile names its ports, behind "
        "which relays, finger, climate\nsensor and units behave as physics does. Nothing "
        "real moves. The same seed gives the same units. Prints\n\"bench ready\" when "
        "the ports are there; ends at Ctrl-C or SIGTERM.\n"
        "\n") +
    exit_codes;

const std::string check_help =
    std::string(
        "Example:\n"
        "  padtrim check hob-panel-8.toml units/hob-panel-8.toml hob-line-4-nests.toml\n"
        "\n"
        "The kind of each document is seen from its first key. All problems are told at "
        "once, each with its place and\nhow to mend it. Each recipe is also checked "
        "together with the register maps and fixture\nprofiles of its product that are given.\n"
        "\n") +
    exit_codes;

const std::string plan_help =
    std::string(
        "Example:\n"
        "  padtrim plan hob-panel-8.toml --fixture hob-line-4-nests.toml --unit "
        "units/hob-panel-8.toml\n"
        "\n"
        "The recipe as it would be done, with the time of each step: what physics demands (the "
        "floor) and the talk on\nthe links. Needs no hardware and opens no port.\n"
        "\n") +
    exit_codes;

const std::string schema_help =
    std::string(
        "Example:\n"
        "  padtrim schema recipe > padtrim-recipe.schema.json\n"
        "\n"
        "JSON Schema, draft 2020-12. An editor that knows it completes and underlines. Name it in "
        "the first line of a\ndocument, a comment that TOML language servers read:\n"
        "  #:schema ./padtrim-recipe.schema.json\n"
        "A schema sees less than padtrim check does.\n"
        "\n") +
    exit_codes;

const std::string unit_help =
    std::string(
        "Example:\n"
        "  padtrim unit HOB8-00418 --records line3.sqlite\n"
        "  padtrim unit HOB8-00418 --records line3.sqlite --json > HOB8-00418.json\n"
        "  padtrim unit HOB8-00418 --records line3.sqlite --monte-carlo --channel 2\n"
        "\n"
        "Reads only; a station may be writing at the same time. Values are written "
        "812.4(6): the bracket is the\nstandard uncertainty in the last digits. A "
        "margin is the distance from the nearest limit divided by the\nexpanded "
        "uncertainty: 0 is on the limit, 1 and more is certain.\n"
        "\n") +
    exit_codes;

void add_station_options(CLI::App& command, StationWish& of) {
    command.add_option("recipe", of.recipe, "what to do to a unit (TOML)")
        ->required()
        ->type_name("RECIPE");
    command.add_option("--fixture", of.fixture, "fixture profile (TOML)")
        ->required()
        ->type_name("FILE");
    command.add_option("--unit", of.unit, "register map of the product (TOML)")
        ->required()
        ->type_name("FILE");
    of.ports = usual_ports;
    command.add_option("--ports", of.ports, "where the profile's port names are found")
        ->type_name("DIR")
        ->capture_default_str();
    command.add_option("--records", of.records, "file of records (SQLite); made when missing")
        ->required()
        ->type_name("FILE");
    of.station = "station";
    command.add_option("--station", of.station, "name of this station in the records")
        ->type_name("NAME")
        ->capture_default_str();
}

void add_run(CLI::App& app, RunCommand& run) {
    CLI::App* command = app.add_subcommand("run", "calibrate, adjust, verify and record a lot");
    add_station_options(*command, run.of);
    command->add_option("--lot", run.lot, "name of the lot; an open one goes on")
        ->required()
        ->type_name("NAME");
    command
        ->add_option("--units", run.units,
                     "size of the lot, units already loaded included (default: all that come)")
        ->type_name("N")
        ->check(CLI::Range(1u, 1'000'000u));
    command->add_flag("--measure-only", run.measure_only, "write nothing to any unit");
    command->add_flag("--again", run.again,
                      "run units that passed in another lot, too; they are set aside otherwise");
    command->add_flag("--draft", run.draft,
                      "run a recipe that is not released; every result is marked");
    command
        ->add_option("--one-step", run.one_step,
                     "this step alone, after the unit was identified: as a draft, measured only")
        ->type_name("NAME");
    command->add_option("--nest", run.nest, "in this nest alone")->type_name("N");
    command->add_option("--operator", run.operator_name, "who runs the lot")->type_name("NAME");
    command->add_flag("--json", run.json, "events and report as JSON, one object a line");
    command->add_flag("--plain", run.plain, "lines instead of the live view, on a terminal too");
    add_log_options(*command, run.log);
    command->footer(run_help);
}

void add_serve(CLI::App& app, ServeCommand& serve) {
    CLI::App* command =
        app.add_subcommand("serve", "the station's daemon: lots are started over HTTP");
    add_station_options(*command, serve.of);
    command->add_option("--listen", serve.listen, "port on 127.0.0.1; 0 takes a free one")
        ->type_name("PORT")
        ->capture_default_str();
    command->add_option("--address", serve.address, "where other machines are answered, over TLS")
        ->type_name("ADDRESS:PORT");
    command->add_option("--certificate", serve.certificate, "of this station, with its chain (PEM)")
        ->type_name("FILE");
    command->add_option("--key", serve.key, "the certificate's private key (PEM)")
        ->type_name("FILE");
    add_log_options(*command, serve.log);
    command->footer(serve_help);
}

// CLI11 would take a minus sign round the back to the largest number, and cut off what is larger.
std::string whole_number(const std::string& text) {
    const bool digits = !text.empty() && text.size() < 20 &&
                        text.find_first_not_of("0123456789") == std::string::npos;
    return digits ? "" : "has to be a whole number from 0, of at most 19 digits";
}

// Serials have five digits, and a magazine at most as many units.
std::string first_unit(const std::string& text) {
    if (text == "next") return "";
    const bool number = whole_number(text).empty() && text.size() <= 5 && std::stoul(text) > 0;
    return number ? "" : "has to be a whole number from 1 to 99999, or \"next\"";
}

void add_bench(CLI::App& app, BenchCommand& bench) {
    CLI::App* command =
        app.add_subcommand("bench", "a virtual fixture with units, on pseudo-terminals");
    command->add_option("--fixture", bench.fixture, "fixture profile (TOML)")
        ->required()
        ->type_name("FILE");
    command->add_option("--unit", bench.unit, "register map of the product (TOML)")
        ->required()
        ->type_name("FILE");
    command->add_option("--ports", bench.ports, "where its ports appear")
        ->required()
        ->type_name("DIR");
    command->add_option("--seed", bench.seed, "which units and references are drawn")
        ->type_name("N")
        ->check(whole_number)
        ->capture_default_str();
    command->add_option("--rate", bench.rate, "physical time passes so many times faster")
        ->type_name("FACTOR")
        ->check(within(0.01, 1000.0))
        ->capture_default_str();
    command->add_option("--units", bench.units, "units in the magazine")
        ->type_name("N")
        ->check(CLI::Range(1u, 100'000u))
        ->capture_default_str();
    command
        ->add_option("--first-unit", bench.first_unit,
                     "number of the magazine's first unit, which its serial ends with; \"next\": "
                     "after the last one that a bench in DIR gave out")
        ->type_name("N|next")
        ->check(first_unit)
        ->capture_default_str();
    command->add_option("--truth", bench.truth, "file that gets what the bench really holds (JSON)")
        ->type_name("FILE");
    command
        ->add_option("--defects", bench.defects,
                     "which units are bad: \"line\" (a usual mixture), \"none\", or places such "
                     "as 3:thick_glue@2,7:dead_channel (unit from 1, kind, channel or key from 0)")
        ->type_name("LIST")
        ->capture_default_str();
    command->add_flag("--standards", bench.standards,
                      "the check standards of the profile lie ready for loading at first; the "
                      "signal RTMIN+2 takes them away, and brings them back");
    command
        ->add_option("--fixture-number", bench.fixture_number,
                     "another number on the coded inputs than the profile's [identity] says")
        ->type_name("N");
    command
        ->add_option("--challenge", bench.challenge,
                     "what is wrong with the challenge unit: kind and place as --defects has them, "
                     "or \"none\"")
        ->type_name("DEFECT")
        ->capture_default_str();
    command
        ->add_option("--fault", bench.faults,
                     "what goes wrong meanwhile: [WHEN:]KIND[@PLACE][=AMOUNT] such as "
                     "12.5s:relay_open@3,2:unit_restart@1,silence@nest-1 (WHEN: a time, or a unit "
                     "from 1 and +N for the Nth request to it)")
        ->type_name("LIST");
    command->add_option("--fault-script", bench.fault_script, "the same from a file, one a line")
        ->type_name("FILE");
    command->add_option("--for", bench.seconds, "end by itself after so many seconds")
        ->type_name("SECONDS")
        ->check(within(0.001, 1e9));
    command->footer(bench_help);
}

void add_questions(CLI::App& app, CheckCommand& check, UnitCommand& unit) {
    CLI::App* checks = app.add_subcommand("check", "what is wrong with recipe, map and profile");
    checks->add_option("files", check.files, "documents, in any order")
        ->required()
        ->type_name("FILE");
    checks->add_flag("--json", check.json, "the answer as JSON");
    checks->footer(check_help);

    CLI::App* units = app.add_subcommand("unit", "history of one unit");
    units->add_option("serial", unit.serial, "its serial number, or the label")
        ->required()
        ->type_name("SERIAL");
    units->add_option("--records", unit.records, "file of records")->required()->type_name("FILE");
    units->add_flag("--all", unit.all, "every key and frequency of every check, not the worst");
    units->add_flag("--details", unit.details,
                    "the newest run's uncertainty budgets term by term, noise and crosstalk");
    units->add_flag("--monte-carlo", unit.monte_carlo,
                    "the same, and each budget checked by Monte Carlo (JCGM 101)");
    units->add_option("--trials", unit.trials, "of the Monte Carlo check, for each line")
        ->check(CLI::Range(std::size_t{1000}, std::size_t{10000000}))
        ->type_name("N")
        ->capture_default_str();
    units->add_option("--channel", unit.channel, "details of this channel only, from 0")
        ->type_name("N");
    units->add_flag("--json", unit.json, "the answer as JSON");
    units->footer(unit_help);
}

const std::string dispose_help =
    std::string(
        "Example:\n"
        "  padtrim dispose HOB8-00418 --records line3.sqlite --to rework --who M \\\n"
        "      --why \"connector reseated, cold joint found\"\n"
        "\n"
        "What the station proposed stays on record; the decision is added, with who and why. A "
        "quarantined unit is set\naside in every lot until it is given rework or is released. "
        "While a station writes the records, they are its own:\nstop the daemon first, or wait "
        "for the lot's end.\n"
        "\n") +
    exit_codes;

void add_dispose(CLI::App& app, DisposeCommand& dispose) {
    CLI::App* command =
        app.add_subcommand("dispose", "a person's decision about a unit, with who and why");
    command->add_option("serial", dispose.serial, "its serial number")
        ->required()
        ->type_name("SERIAL");
    command->add_option("--records", dispose.records, "file of records")
        ->required()
        ->type_name("FILE");
    command->add_option("--to", dispose.to, "released, rework, scrap or quarantined")
        ->required()
        ->check(CLI::IsMember({"released", "rework", "scrap", "quarantined"}))
        ->type_name("WHAT");
    command->add_option("--who", dispose.who, "who decides")->required()->type_name("NAME");
    command->add_option("--why", dispose.why, "the reason, for whoever asks later")
        ->required()
        ->type_name("TEXT");
    command->footer(dispose_help);
}

void add_documents(CLI::App& app, PlanCommand& plan, SchemaCommand& schema) {
    CLI::App* plans = app.add_subcommand("plan", "what a recipe does to a unit, and how long");
    plans->add_option("recipe", plan.recipe, "what to do to a unit (TOML)")
        ->required()
        ->type_name("RECIPE");
    plans->add_option("--fixture", plan.fixture, "fixture profile (TOML)")
        ->required()
        ->type_name("FILE");
    plans->add_option("--unit", plan.unit, "register map of the product (TOML)")
        ->required()
        ->type_name("FILE");
    plans->add_flag("--json", plan.json, "the answer as JSON");
    plans->footer(plan_help);

    CLI::App* schemas = app.add_subcommand("schema", "JSON Schema of a document, for editors");
    schemas->add_option("document", schema.document, "recipe, register-map or fixture-profile")
        ->required()
        ->check(CLI::IsMember({"recipe", "register-map", "fixture-profile"}))
        ->type_name("DOCUMENT");
    schemas->footer(schema_help);
}

struct Everything {
    RunCommand run;
    ServeCommand serve;
    BenchCommand bench;
    CheckCommand check;
    PlanCommand plan;
    SchemaCommand schema;
    UnitCommand unit;
    DisposeCommand dispose;
    AuthorCommands author;
    CareCommands care;
    FixtureCommands fixture;
    QualityCommands quality;
    StoreCommand store;
};

Command chosen(const CLI::App& app, const Everything& all) {
    const std::string name = app.get_subcommands().front()->get_name();
    if (name == "run") return all.run;
    if (name == "serve") return all.serve;
    if (name == "bench") return all.bench;
    if (name == "check") return all.check;
    if (name == "plan") return all.plan;
    if (name == "schema") return all.schema;
    if (name == "unit") return all.unit;
    if (name == "dispose") return all.dispose;
    if (name == "header") return all.author.header;
    if (name == "rejudge") return all.author.rejudge;
    if (name == "limits") return all.author.limits;
    if (name == "release") return all.author.release;
    if (name == "permit") return all.author.permit;
    if (name == "changes") return all.author.changes;
    if (name == "reference") return all.author.reference;
    if (name == "shift-check") return all.care.shift_check;
    if (name == "wear") return all.care.wear;
    if (name == "ports") return all.fixture.ports;
    if (name == "teach") return all.fixture.teach;
    if (name == "capability") return all.quality.capability;
    if (name == "chart") return all.quality.chart;
    if (name == "alarms") return all.quality.alarms;
    if (name == "sampling") return all.quality.sampling;
    if (name == "drift") return all.quality.drift;
    if (name == "gauge") return all.quality.gauge;
    if (name == "trace") return all.quality.trace;
    if (name == "in-doubt") return all.quality.in_doubt;
    if (name == "lot") return all.quality.lot;
    if (name == "export") return all.quality.exports;
    if (name == "report") return all.quality.report;
    if (name == "yield") return all.quality.yield;
    return all.store;
}

Words no_such_command(const CLI::App& app, const std::string& word) {
    std::string known;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
        known += (known.empty() ? "" : ", ") + command->get_name();
    return Words{bad_input, "padtrim: there is no command '" + word + "'. There are: " + known +
                                ".\nRun padtrim --help for more.\n"};
}

}  // namespace

Command read_command_line(int argc, const char* const* argv) {
    CLI::App app(overview, "padtrim");
    app.set_version_flag("--version", "padtrim " PADTRIM_VERSION);
    app.require_subcommand(1);
    app.footer(exit_codes);
    app.get_formatter()->column_width(34);
    Everything all;
    add_run(app, all.run);
    add_serve(app, all.serve);
    add_bench(app, all.bench);
    add_documents(app, all.plan, all.schema);
    add_questions(app, all.check, all.unit);
    add_dispose(app, all.dispose);
    add_author_commands(app, all.author);
    add_care_commands(app, all.care);
    add_fixture_commands(app, all.fixture);
    add_quality_commands(app, all.quality);
    add_store_commands(app, all.store);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& said) {
        std::ostringstream out, complaint;
        const int code = app.exit(said, out, complaint);
        if (code == 0) return Words{done, out.str()};
        if (argc < 2) return Words{bad_input, app.help()};
        if (app.get_subcommands().empty() && argv[1][0] != '-')
            return no_such_command(app, argv[1]);
        return Words{bad_input, complaint.str()};
    }
    all.run.program = argv[0];
    return chosen(app, all);
}

}  // namespace padtrim::cli
