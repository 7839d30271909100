#include "station/cli/quality_commands.hpp"

#include <CLI/CLI.hpp>

#include "station/answers/control_answer.hpp"
#include "station/answers/yield_answer.hpp"
#include "station/cli/station_wish.hpp"
#include "station/cli/validators.hpp"

namespace padtrim::cli {
namespace {

const std::string times_and_faces =
    "\nTimes are UTC: 2026-03-01 or 2026-03-01T08:15; --until a day takes that day in. --csv is "
    "the "
    "table as CSV (RFC 4180),\n--json everything.\n\n"
    "Exit codes: 0 done, 1 (in-doubt) some verdict would change, 2 bad input, 3 the records are "
    "held by another process, a\nlot's books do not balance, or a disk is full.";

const std::string only_reads =
    "\nOnly reads; a station may be writing at the same time." + times_and_faces;

const std::string yield_help =
    "Examples:\n"
    "  padtrim yield --records line3.sqlite --by recipe\n"
    "  padtrim yield --records line3.sqlite --since 2026-03-01 --by nest --compare 1 3\n"
    "  padtrim yield --records line3.sqlite --lot 2231 --rolled --csv\n"
    "\n"
    "First-pass and final yield with their 95 % intervals (Wilson; --json adds those of Clopper "
    "and "
    "Pearson), whether they\ndiffer by more than chance, what retests recover by nest and by "
    "check, "
    "and what fails first. A unit counts where and\nwhen its first run began; units without a "
    "verdict are a fault of the station and count neither way. A check or nest\nthat recovers more "
    "than the others rejects good units. Periods are whole UTC days.\nRolled throughput yield is "
    "the product of the checks' own first-pass yields, as found and as left apart:\n--rolled lists "
    "them.\n" +
    only_reads;

const std::string capability_help =
    "Example:\n"
    "  padtrim capability --records line3.sqlite --check gain --since 2026-03-01\n"
    "  padtrim capability --records line3.sqlite --check gain --low 392 --high 408\n"
    "\n"
    "Cpk (scatter within lots; above 5000 units within days) and Ppk (all values) of every check "
    "with limits, with 95 %\nintervals and the distribution model that was used (ISO 22514-2), "
    "worst first. As found it speaks of the product,\n--as-left of the station. Each unit counts "
    "by its first try. --low and --high try limits that are not in force: how many\nvalues lie "
    "outside is counted.\n" +
    only_reads;

const std::string chart_help =
    "Examples:\n"
    "  padtrim chart --records line3.sqlite --check gain --key timer\n"
    "  padtrim chart --records line3.sqlite --check gain --key timer --kind weighted --baseline "
    "50\n"
    "\n"
    "Control charts: individuals, means-and-ranges, means-and-deviations (--size values in a row), "
    "weighted (exponentially\nweighted mean), sums (cumulative sums), share (of units rejected at "
    "first, a lot a point), occurrences (failed checks a\nunit, a lot a point). Limits come from "
    "the first --baseline points. It says after how many points the chart calls a\nfalse alarm, "
    "in the mean: each further rule adds some. --csv has the points of every chart.\n"
    "\nOnly reads, but --freeze writes: that ends with 3 while a station holds the records." +
    times_and_faces;

const std::string alarms_help =
    "Examples:\n"
    "  padtrim chart --records line3.sqlite --check gain --baseline 200 --freeze --who qa --why "
    "\"first month\"\n"
    "  padtrim alarms --records line3.sqlite\n"
    "  padtrim alarms --records line3.sqlite --reply 12 --who qa --why \"worn pin, replaced\"\n\n"
    "Looks at what came to every frozen chart since the last look and keeps its alarms, each once; "
    "then tells\nthose that nobody replied to. While a station holds the records it looks at the "
    "end of each lot, and this\ncommand only tells what it found.\n"
    "\nExit codes: 0 done, 1 an alarm has no reply, 2 bad input, 3 the records are held (for a "
    "reply).\n";

const std::string sampling_help =
    "Examples:\n"
    "  padtrim sampling --records line3.sqlite --set --product \"Hob Panel 8\" --step hover "
    "--level "
    "S-4 --aql 1.0 --who qa --why \"takes a minute\"\n"
    "  padtrim sampling --records line3.sqlite --step hover --lot 2231 --size 500\n"
    "  padtrim sampling --records line3.sqlite --step hover --lot 2231 --found 1 --who qa\n"
    "  padtrim sampling --records line3.sqlite --judge-lot 2231 --check hover --good 1 --bad 6\n\n"
    "Single sampling by attributes (ISO 2859-1; its tables are from memory): which units of a lot "
    "get "
    "a slow\nstep, in the order they come, and by the results so far whether the next lot is "
    "looked "
    "at more closely.\nReduced inspection is not offered. When inspection is stopped, --resume "
    "with "
    "--who and --why begins it again.\n\n"
    "--judge-lot: by variables, s method (ISO 3951-1, from memory). Of each key the mean has to "
    "stand k deviations away from\neach limit; k and the values needed come from two risks, or k "
    "is "
    "given.\n"
    "\nExit codes: 0 done, 1 the judged lot is not accepted, 2 bad input, 3 the records are held "
    "or the disk is full.\n";

const std::string drift_help =
    "Example:\n"
    "  padtrim drift --records line3.sqlite --check gain --station line-3\n"
    "\n"
    "Lot means with a step or a trend where one can be told at the stated risk, and whose change "
    "it "
    "is: what the station's\ncheck standards share is the station's, what one shows alone is its "
    "own, what the product changed beyond that is the\nproduct's. Eight lots or more; above 5000 "
    "units the means are of days, and eight days or more.\n" +
    only_reads;

const std::string gauge_help =
    "Examples:\n"
    "  padtrim run hob-panel-8.toml ... --lot G-1 --measure-only     # each unit in each nest, "
    "twice or more\n"
    "  padtrim gauge --records line3.sqlite --lot G-1 --check gain\n"
    "  padtrim gauge --type-1 --reference 400.2 --records line3.sqlite --lot G-2 --check gain "
    "--key "
    "timer\n"
    "  padtrim gauge --agreement line-3 line-4 --alike-within 0.5 --records both.sqlite --check "
    "gain\n"
    "  padtrim gauge --bias --references masters.csv --records line3.sqlite --check gain\n"
    "\n"
    "How much of the scatter is the measuring: units x nests x repetitions, from lots run with "
    "--measure-only. Take units\nthat differ as the line's do, load and unload them for each "
    "repetition. By analysis of variance and by ranges; whether\nthe station may judge this "
    "tolerance (ISO 22514-7). Type 1: one unit again and again, against its reference value.\n"
    "Agreement: the same units on two stations; mean difference and the limits that hold 95 % of "
    "single units. Bias: units\nwith reference values over the range; whether readings are off by "
    "more where values are larger, and whether that changed\nbetween lots.\n" +
    only_reads;

const std::string trace_help =
    "Examples:\n"
    "  padtrim trace HOB8-00418 --records line3.sqlite\n"
    "  padtrim trace --records line3.sqlite --relay 17 --fixture 'hob line' --since 2026-03-01\n"
    "  padtrim trace --records line3.sqlite --step 'gain and offset' --recipe 'hob panel' "
    "--revision "
    "B\n"
    "\n"
    "With a serial: everything about the unit, run by run, with what measured it. Without: every "
    "unit that a step, a relay,\na recipe revision, a fixture, a station or a span of time "
    "touched.\n" +
    only_reads;

const std::string in_doubt_help =
    "Example:\n"
    "  padtrim in-doubt --records line3.sqlite --station line-3\n"
    "\n"
    "After a shift check that found the station wrong: the units since its last good check, how "
    "far "
    "off the station may\nhave been by its check standards, and which units would get another "
    "verdict if it was. Those come first.\n" +
    only_reads;

const std::string lot_help =
    "Example:\n"
    "  padtrim lot 2231 --records line3.sqlite\n"
    "\n"
    "The lot's books: loaded = pass + fail + inconclusive + no verdict + removed, its tape, yield, "
    "channels, what failed and\nwhat to do next.\n" +
    only_reads;

const std::string export_help =
    "Examples:\n"
    "  padtrim export checks --records line3.sqlite --lot 2231 --out 2231.csv\n"
    "  padtrim export readings --records line3.sqlite --lot 2231 --json > 2231.jsonl\n"
    "\n"
    "units: a row a run. checks: a row a value with its limits and doubt, as found (--as-left for "
    "those). lines: gain and\noffset of each channel. readings: the raw counts. CSV to RFC 4180, "
    "or "
    "--json for a JSON object a line. All runs, not\nfirst tries only.\n" +
    only_reads;

const std::string report_help =
    "Example:\n"
    "  padtrim report --records line3.sqlite --lot 2231 --out 2231.html --who M\n"
    "  padtrim report --records line3.sqlite --since 2026-03-01 --until 2026-03-31 --out "
    "march.html\n"
    "\n"
    "One HTML page that needs nothing else: drawing sheets of A4 with books, yield, what fails, "
    "capability as found and as\nleft, control charts and drift. Print it from a browser, in black "
    "and white too. Every chart has its table.\n" +
    only_reads;

void add_records(CLI::App& command, QualityWords& of) {
    command.add_option("--records", of.records, "file of records")->required()->type_name("FILE");
    command.add_option("--since", of.since, "from this time on")->type_name("TIME");
    command.add_option("--until", of.until, "before the end of this time")->type_name("TIME");
    command.add_option("--lot", of.lot, "of this lot only")->type_name("NAME");
    command.add_option("--station", of.station, "of this station only")->type_name("NAME");
    command.add_option("--product", of.product, "of this unit type only")->type_name("NAME");
    command.add_option("--recipe", of.recipe, "of this recipe only")->type_name("NAME");
    command.add_option("--revision", of.recipe_revision, "of this revision of recipes only")
        ->type_name("NAME");
    command.add_option("--nest", of.nest, "of this nest only, from 1")->type_name("N");
    command.add_flag("--measure-only", of.measure_only, "of lots that were only measured");
    command.add_flag("--drafts", of.drafts, "units that ran on drafts too");
}

void add_places(CLI::App& command, QualityWords& of) {
    command.add_option("--check", of.check, "this check only")->type_name("NAME");
    command.add_option("--key", of.key, "this key only")->type_name("NAME");
    command.add_option("--step", of.step, "this step of the recipe only")->type_name("NAME");
    command.add_option("--channel", of.channel, "this channel only, from 0")->type_name("N");
    command.add_option("--frequency", of.frequency, "this sensing frequency only, from 0")
        ->type_name("N");
}

void add_faces(CLI::App& command, bool& json, bool& csv) {
    CLI::Option* as_json = command.add_flag("--json", json, "the answer as JSON");
    command.add_flag("--csv", csv, "the table as CSV")->excludes(as_json);
}

CLI::App* question(CLI::App& app, const char* name, const char* what, const std::string& help,
                   QualityWords& of) {
    CLI::App* command = app.add_subcommand(name, what);
    add_records(*command, of);
    add_faces(*command, of.json, of.csv);
    command->footer(help);
    return command;
}

void add_as_left(CLI::App& command, bool& as_left) {
    command.add_flag("--as-left", as_left, "after adjustment (default: as found)");
}

void add_charts(CLI::App& command, std::size_t& charts) {
    command.add_option("--charts", charts, "draw so many, the most striking ones")
        ->type_name("N")
        ->check(within(answers::drawn_charts))
        ->capture_default_str();
}

void add_yield(CLI::App& app, YieldCommand& yield) {
    auto* command =
        question(app, "yield", "first-pass and final yield, and what fails", yield_help, yield.of);
    command->add_option("--by", yield.by, "one line a lot, recipe, nest, shift, day, ...")
        ->check(CLI::IsMember(answers::yield_grouping_names()))
        ->type_name("WHAT")
        ->capture_default_str();
    command->add_option("--compare", yield.compare, "test whether these two lines differ")
        ->expected(2)
        ->type_name("A B");
    command->add_flag("--rolled", yield.rolled,
                      "the yield of every check, and their product: rolled throughput");
    command->add_option("--fixture", yield.of.fixture, "of this fixture only")->type_name("NAME");
}

void add_capability(CLI::App& app, CapabilityCommand& capability) {
    auto* command = question(app, "capability", "Cpk and Ppk of every check and key",
                             capability_help, capability.of);
    add_places(*command, capability.of);
    add_as_left(*command, capability.as_left);
    const char* check = "--check";
    command->add_option("--low", capability.low, "as if this were the lower limit of --check")
        ->needs(command->get_option(check))
        ->check(finite())
        ->type_name("VALUE");
    command->add_option("--high", capability.high, "as if this were the upper limit of --check")
        ->needs(command->get_option(check))
        ->check(finite())
        ->type_name("VALUE");
    add_charts(*command, capability.charts);
}

void add_chart(CLI::App& app, ChartCommand& chart) {
    auto* command = question(app, "chart", "control charts with alarms", chart_help, chart.of);
    add_places(*command, chart.of);
    add_as_left(*command, chart.as_left);
    command->add_option("--kind", chart.kind, "which chart")
        ->check(CLI::IsMember(answers::control_kind_names()))
        ->type_name("KIND")
        ->capture_default_str();
    command->add_option("--rules", chart.rules, "what signals (default: the usual four)")
        ->check(CLI::IsMember(answers::run_rule_names()))
        ->delimiter(',')
        ->type_name("RULE,...");
    command->add_option("--size", chart.size, "values in a subgroup")
        ->check(within(answers::subgroup_size))
        ->type_name("N")
        ->capture_default_str();
    command->add_option("--baseline", chart.baseline, "points that limits come from; 0: all")
        ->type_name("N")
        ->capture_default_str();
    command->add_option("--lambda", chart.lambda, "weight of the newest value (weighted)")
        ->check(within(answers::newest_weight))
        ->type_name("SHARE")
        ->capture_default_str();
    command->add_option("--width", chart.width, "limits in sigmas (weighted)")
        ->check(within(answers::limit_width))
        ->type_name("FACTOR")
        ->capture_default_str();
    command->add_option("--slack", chart.slack, "half the shift to find, in sigmas (sums)")
        ->check(within(answers::half_shift))
        ->type_name("FACTOR")
        ->capture_default_str();
    command->add_option("--decision", chart.decision, "sum that signals, in sigmas (sums)")
        ->check(within(answers::signalling_sum))
        ->type_name("FACTOR")
        ->capture_default_str();
    add_charts(*command, chart.charts);
    command->add_flag("--anew", chart.anew, "limits from the points shown, not the frozen ones");
    CLI::Option* freeze = command->add_flag(
        "--freeze", chart.freeze, "keep these charts and limits with the recipe's revision");
    command->add_option("--who", chart.who, "who freezes them")->needs(freeze)->type_name("NAME");
    command->add_option("--why", chart.why, "and why")->needs(freeze)->type_name("TEXT");
    // Whoever says how a chart is to be made does not mean the frozen one.
    for (const char* said : {"--kind", "--rules", "--size", "--baseline", "--lambda", "--width",
                             "--slack", "--decision"})
        command->get_option(said)->each([&chart](const std::string&) { chart.anew = true; });
}

void add_alarms(CLI::App& app, AlarmsCommand& alarms) {
    CLI::App* command = app.add_subcommand("alarms", "alarms of frozen charts, and replies");
    command->add_option("--records", alarms.records, "file of records")
        ->required()
        ->type_name("FILE");
    command->add_flag("--all", alarms.all, "those with a reply, too");
    CLI::Option* reply = command->add_option("--reply", alarms.reply, "to the alarm of this number")
                             ->type_name("ALARM");
    command->add_option("--who", alarms.who, "who replies")->needs(reply)->type_name("NAME");
    command->add_option("--why", alarms.why, "what was found and done")
        ->needs(reply)
        ->type_name("TEXT");
    add_faces(*command, alarms.json, alarms.csv);
    command->footer(alarms_help);
}

// By variables: no plan is kept, and nothing is signed.
void add_judge_lot(CLI::App& command, SamplingCommand& sampling) {
    CLI::Option* judged = command
                              .add_option("--judge-lot", sampling.judged_lot,
                                          "is this lot accepted by the values of --check")
                              ->type_name("LOT");
    for (const char* other :
         {"--product", "--step", "--set", "--lot", "--resume", "--who", "--why"})
        judged->excludes(command.get_option(other));
    CLI::Option* check =
        command.add_option("--check", sampling.check, "the check whose values count")
            ->needs(judged)
            ->type_name("NAME");
    judged->needs(check);
    command.add_option("--key", sampling.key, "on this key only")->needs(judged)->type_name("NAME");
    command.add_flag("--as-left", sampling.as_left, "after adjustment (default: as found)")
        ->needs(judged);
    CLI::Option* k =
        command.add_option("--k", sampling.k, "acceptance constant (default: from the four below)")
            ->needs(judged)
            ->check(within(answers::acceptance_constant))
            ->type_name("FACTOR");
    const auto add_percent = [&](const char* name, double& value, const char* what) {
        command.add_option(name, value, what)
            ->needs(judged)
            ->excludes(k)
            ->check(within(answers::risk_percent))
            ->type_name("PERCENT")
            ->capture_default_str();
    };
    add_percent("--good", sampling.good, "beyond a limit, that shall be accepted");
    add_percent("--producers-risk", sampling.producers_risk, "that it is not");
    add_percent("--bad", sampling.bad, "beyond a limit, that shall not be accepted");
    add_percent("--consumers-risk", sampling.consumers_risk, "that it is");
}

void add_sampling(CLI::App& app, SamplingCommand& sampling) {
    CLI::App* command =
        app.add_subcommand("sampling", "which units of a lot get a slow step, and what follows");
    command->add_option("--records", sampling.records, "file of records")
        ->required()
        ->type_name("FILE");
    command->add_option("--product", sampling.product, "of this product")->type_name("NAME");
    command->add_option("--step", sampling.step, "of this step of the recipe")->type_name("NAME");
    CLI::Option* set = command->add_flag("--set", sampling.set, "a new plan for that step");
    command->add_option("--level", sampling.level, "inspection level")
        ->needs(set)
        ->check(CLI::IsMember({"S-1", "S-2", "S-3", "S-4", "I", "II", "III"}))
        ->type_name("LEVEL")
        ->capture_default_str();
    command->add_option("--aql", sampling.quality_limit, "acceptance quality limit, %")
        ->needs(set)
        ->check(within(0.01, 10.0))
        ->type_name("PERCENT")
        ->capture_default_str();
    CLI::Option* lot =
        command->add_option("--lot", sampling.lot, "of this lot")->excludes(set)->type_name("LOT");
    CLI::Option* size = command->add_option("--size", sampling.size, "its units: choose some")
                            ->needs(lot)
                            ->type_name("N");
    command->add_option("--found", sampling.found, "nonconforming among those looked at")
        ->needs(lot)
        ->excludes(size)
        ->type_name("N");
    command->add_flag("--resume", sampling.resume, "inspection that was stopped")
        ->excludes(set)
        ->excludes(lot);
    command->add_option("--who", sampling.who, "who says so")->type_name("NAME");
    command->add_option("--why", sampling.why, "and why")->type_name("TEXT");
    add_judge_lot(*command, sampling);
    add_faces(*command, sampling.json, sampling.csv);
    command->footer(sampling_help);
}

void add_drift(CLI::App& app, DriftCommand& drift) {
    auto* command = question(app, "drift", "whether product or station changed, and when",
                             drift_help, drift.of);
    add_places(*command, drift.of);
    add_as_left(*command, drift.as_left);
    command->add_option("--risk", drift.risk, "of calling chance a drift")
        ->check(within(answers::drift_risk))
        ->type_name("SHARE")
        ->capture_default_str();
    add_charts(*command, drift.charts);
}

void add_gauge_comparisons(CLI::App& command, GaugeCommand& gauge) {
    CLI::Option* type_1 = command.get_option("--type-1");
    CLI::Option* agreement =
        command
            .add_option("--agreement", gauge.agreement,
                        "whether these two stations measure the same units alike")
            ->expected(2)
            ->excludes(type_1)
            ->excludes(command.get_option("--station"))
            ->type_name("A B");
    command
        .add_option("--alike-within", gauge.allowance,
                    "allowance of their mean difference, in the check's unit")
        ->needs(agreement)
        ->check(within(answers::calibration_doubt))
        ->type_name("VALUE");
    CLI::Option* bias =
        command
            .add_flag("--bias", gauge.bias, "bias over the range of --references, and stability")
            ->needs(command.get_option("--check"))
            ->excludes(type_1)
            ->excludes(agreement);
    CLI::Option* references =
        command
            .add_option("--references", gauge.references, "CSV of serial,value or serial,key,value")
            ->needs(bias)
            ->type_name("FILE");
    bias->needs(references);
}

void add_gauge(CLI::App& app, GaugeCommand& gauge) {
    auto* command =
        question(app, "gauge", "how much of the scatter is the measuring", gauge_help, gauge.of);
    add_places(*command, gauge.of);
    add_as_left(*command, gauge.as_left);
    command->add_option("--appraisers", gauge.appraisers, "who measures: nest or station")
        ->check(CLI::IsMember({"nest", "station"}))
        ->type_name("WHAT")
        ->capture_default_str();
    CLI::Option* type_1 = command->add_flag("--type-1", gauge.type_1,
                                            "one unit again and again, against --reference");
    command
        ->add_option("--reference", gauge.reference, "value of that unit (default: none, no bias)")
        ->needs(type_1)
        ->check(finite())
        ->type_name("VALUE");
    command
        ->add_option("--calibration", gauge.calibration,
                     "standard uncertainty of the references, in the check's unit")
        ->check(within(answers::calibration_doubt))
        ->type_name("VALUE")
        ->capture_default_str();
    add_gauge_comparisons(*command, gauge);
}

void add_trace(CLI::App& app, TraceCommand& trace) {
    auto* command =
        question(app, "trace", "everything about a unit, or every unit that something touched",
                 trace_help, trace.of);
    command->add_option("serial", trace.serial, "a unit's serial number")->type_name("SERIAL");
    command->add_option("--fixture", trace.of.fixture, "of this fixture only")->type_name("NAME");
    command->add_option("--step", trace.of.step, "units that did this step of the recipe")
        ->type_name("NAME");
    command->add_option("--relay", trace.relay, "units that this coil was part of measuring")
        ->type_name("COIL");
}

void add_in_doubt(CLI::App& app, InDoubtCommand& doubt) {
    CLI::App* command = app.add_subcommand("in-doubt", "units since the last good shift check");
    command->add_option("--records", doubt.records, "file of records")
        ->required()
        ->type_name("FILE");
    command->add_option("--station", doubt.station, "of this station")
        ->required()
        ->type_name("NAME");
    command->add_option("--fixture", doubt.fixture, "of this fixture (default: all)")
        ->type_name("NAME");
    add_faces(*command, doubt.json, doubt.csv);
    command->footer(in_doubt_help);
}

void add_lot(CLI::App& app, LotCommand& lot) {
    CLI::App* command = app.add_subcommand("lot", "the books of one lot");
    command->add_option("lot", lot.lot, "its name")->required()->type_name("LOT");
    command->add_option("--records", lot.records, "file of records")->required()->type_name("FILE");
    add_faces(*command, lot.json, lot.csv);
    command->footer(lot_help);
}

void add_export(CLI::App& app, ExportCommand& exports) {
    auto* command =
        question(app, "export", "stored results for other programs", export_help, exports.of);
    command->add_option("what", exports.what, "units, checks, lines or readings")
        ->check(CLI::IsMember({"units", "checks", "lines", "readings"}))
        ->type_name("WHAT")
        ->capture_default_str();
    add_places(*command, exports.of);
    add_as_left(*command, exports.as_left);
    command->add_option("--out", exports.out, "file (default: stdout)")->type_name("FILE");
}

void add_report(CLI::App& app, ReportCommand& report) {
    auto* command = question(app, "report", "a page of drawing sheets for a lot or a period",
                             report_help, report.of);
    command->add_option("--out", report.out, "the page (HTML)")->required()->type_name("FILE");
    command->add_option("--who", report.who, "who files it")->type_name("NAME");
    command->add_option("--check", report.of.check, "this check only")->type_name("NAME");
}

}  // namespace

void add_quality_commands(CLI::App& app, QualityCommands& commands) {
    add_yield(app, commands.yield);
    add_lot(app, commands.lot);
    add_capability(app, commands.capability);
    add_chart(app, commands.chart);
    add_alarms(app, commands.alarms);
    add_sampling(app, commands.sampling);
    add_drift(app, commands.drift);
    add_gauge(app, commands.gauge);
    add_trace(app, commands.trace);
    add_in_doubt(app, commands.in_doubt);
    add_export(app, commands.exports);
    add_report(app, commands.report);
}

}  // namespace padtrim::cli
