#include "station/cli/quality_commands.hpp"

#include <CLI/CLI.hpp>

#include "station/answers/control_answer.hpp"
#include "station/answers/yield_answer.hpp"
#include "station/cli/quality_help.hpp"
#include "station/cli/validators.hpp"

namespace padtrim::cli {
namespace {

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
    command
        ->add_option("--episode", doubt.episode, "an earlier time that it was blocked; 1: newest")
        ->check(within(answers::blocked_times))
        ->type_name("N")
        ->capture_default_str();
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
