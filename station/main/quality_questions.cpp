#include "station/main/quality_questions.hpp"

#include <cstdio>
#include <fstream>
#include <sstream>
#include <variant>

#include "fixtures/serial/clocks.hpp"
#include "station/answers/agreement_answer.hpp"
#include "station/answers/bias_answer.hpp"
#include "station/answers/capability_answer.hpp"
#include "station/answers/chart_rows.hpp"
#include "station/answers/control_answer.hpp"
#include "station/answers/drift_answer.hpp"
#include "station/answers/export_rows.hpp"
#include "station/answers/gauge_answer.hpp"
#include "station/answers/in_doubt.hpp"
#include "station/answers/lot_sheet.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/quality_report.hpp"
#include "station/answers/trace_answer.hpp"
#include "station/answers/yield_answer.hpp"
#include "station/cli/plot.hpp"
#include "station/main/alarms.hpp"
#include "station/main/author_questions.hpp"
#include "station/main/output.hpp"
#include "station/main/tell.hpp"
#include "station/report/page.hpp"

namespace padtrim {
namespace {

using cli::Face;

// What was typed, or what is wrong with it.
struct Wished {
    answers::QualityWish wish;
    std::unique_ptr<ledger::Reader> reader;
    GivesUp trouble{cli::done, ""};
    [[nodiscard]] bool good() const { return trouble.exit_code == cli::done; }
};

GivesUp trouble_of(const journal::StoreFault& fault) {
    const bool held = fault.kind == journal::StoreFaultKind::locked;
    return {held ? cli::station_fault : cli::bad_input, fault.what};
}

Wished wished(const cli::QualityWords& words) {
    Wished made;
    auto reader = ledger::Reader::open(words.records, ledger::Pages::mapped);
    if (!reader) {
        made.trouble = trouble_of(reader.error());
        return made;
    }
    made.reader = std::move(*reader);
    auto read = answers::read_wish(*made.reader, words);
    if (!read)
        made.trouble = trouble_of(read.error());
    else if (!read->problem.empty())
        made.trouble = {cli::bad_input, read->problem};
    else
        made.wish = std::move(read->wish);
    return made;
}

record::Stage stage_of(bool as_left) {
    return as_left ? record::Stage::as_left : record::Stage::as_found;
}

template <class Answer, class... Charts>
int show(const journal::Stored<Answer>& answer, Face face, Charts... charts) {
    if (!answer) return complain(trouble_of(answer.error()));
    tell(answers::to_json(*answer), answers::sheet_of(*answer, charts...), face);
    return cli::done;
}

quality::RuleSet rules_of(const std::vector<std::string>& typed) {
    quality::RuleSet rules;
    for (const auto& name : typed)
        if (const auto rule = answers::run_rule_of(name)) rules.insert(*rule);
    return rules;
}

}  // namespace

int answer(const cli::YieldCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    std::optional<std::pair<std::string, std::string>> compare;
    if (command.compare.size() == 2) compare = {command.compare.front(), command.compare.back()};
    const auto by = answers::yield_grouping_of(command.by).value_or(ledger::RollupBy::lot);
    const auto yields = answers::yield_and_rolled(*asked.reader, asked.wish, by, compare);
    if (yields && !yields->problem.empty()) return complain({cli::bad_input, yields->problem});
    if (yields && yields->groups.empty() && command.of.face() == Face::text) {
        print_line(std::string("No finished unit answers to that. ") +
                   (command.of.measure_only
                        ? "Only lots that were only measured were asked for."
                        : "Lots that were only measured are told with --measure-only, drafts with "
                          "--drafts."));
        return cli::done;
    }
    if (yields && command.rolled && command.of.face() != Face::json) {
        answers::Sheet sheet{"Rolled throughput yield, check by check"};
        sheet.tables.push_back(answers::rolled_steps(yields->rolled));
        tell({}, sheet, command.of.face());
        return cli::done;
    }
    return show(yields, command.of.face());
}

int answer(const cli::CapabilityCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    if (command.low && command.high && *command.low >= *command.high)
        return complain({cli::bad_input, "--low is not below --high: no value lies between."});
    return show(answers::capability_answer(*asked.reader, asked.wish, stage_of(command.as_left),
                                           answers::most_single_units, {command.low, command.high}),
                command.of.face(), command.charts);
}

int answer(const cli::ChartCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    answers::ControlWish wish;
    wish.values = answers::values_of(asked.wish, stage_of(command.as_left));
    wish.kind = answers::control_kind_of(command.kind).value_or(wish.kind);
    if (!command.rules.empty()) wish.rules = rules_of(command.rules);
    wish.size = command.size;
    wish.baseline = command.baseline;
    wish.weighted = {command.lambda, command.width};
    wish.sums.k = command.slack;
    wish.sums.h = command.decision;
    wish.use_frozen = !command.anew && !command.freeze;
    const auto charts = answers::control_answer(*asked.reader, wish);
    if (charts && command.freeze) return freeze_charts(command, wish, *charts);
    if (charts && command.of.csv) {
        print_csv(answers::chart_rows(*charts));
        return cli::done;
    }
    return show(charts, command.of.face(), command.charts);
}

int answer(const cli::DriftCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    const auto wish = answers::values_of(asked.wish, stage_of(command.as_left));
    return show(answers::drift_answer(*asked.reader, wish, command.risk), command.of.face(),
                command.charts);
}

namespace {

int agreement_of_stations(const cli::GaugeCommand& command, const answers::ValueWish& values,
                          ledger::Reader& reader) {
    const answers::AgreementWish wish{values, command.agreement.front(), command.agreement.back(),
                                      command.allowance};
    if (wish.a == wish.b)
        return complain({cli::bad_input, "--agreement takes two stations, not one twice."});
    return show(answers::agreement_answer(reader, wish), command.of.face());
}

int bias_over_references(const cli::GaugeCommand& command, const answers::ValueWish& values,
                         ledger::Reader& reader) {
    std::ifstream file(command.references, std::ios::binary);
    if (!file)
        return complain({cli::bad_input, command.references + " cannot be read. Is it there?"});
    std::ostringstream text;
    text << file.rdbuf();
    const auto references = answers::read_references(text.str());
    if (!references.problem.empty())
        return complain({cli::bad_input, command.references + ": " + references.problem});
    return show(answers::bias_answer(reader, {values, references.values}), command.of.face());
}

}  // namespace

int answer(const cli::GaugeCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    const auto values = answers::study_values_of(asked.wish, stage_of(command.as_left));
    if (command.agreement.size() == 2) return agreement_of_stations(command, values, *asked.reader);
    if (command.bias) return bias_over_references(command, values, *asked.reader);
    answers::GaugeWish wish;
    wish.values = values;
    wish.appraisers = command.appraisers == "station" ? answers::Appraisers::stations
                                                      : answers::Appraisers::nests;
    wish.type_1 = command.type_1;
    wish.reference = command.reference;
    wish.calibration = command.calibration;
    return show(answers::gauge_answer(*asked.reader, wish), command.of.face());
}

int answer(const cli::TraceCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    if (!command.serial)
        return show(answers::touched_units(*asked.reader, {asked.wish, command.relay}),
                    command.of.face());
    const auto trace = answers::unit_trace(*asked.reader, *command.serial);
    if (trace && trace->history.runs.empty())
        return complain({cli::bad_input, "No unit '" + answers::printable(*command.serial, 60) +
                                             "' in " + command.of.records +
                                             ". Check the serial; padtrim yield lists the lots."});
    return show(trace, command.of.face());
}

int answer(const cli::InDoubtCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return complain(trouble_of(reader.error()));
    const auto doubt =
        answers::units_in_doubt(**reader, command.station, command.fixture, command.episode);
    if (doubt && !doubt->problem.empty()) return complain({cli::bad_input, doubt->problem});
    const int code = show(doubt, face_of(command.json, command.csv));
    return code == cli::done && doubt->would_change() > 0 ? int{cli::some_did_not_pass} : code;
}

int answer(const cli::LotCommand& command) {
    const auto reader = ledger::Reader::open(command.records);
    if (!reader) return complain(trouble_of(reader.error()));
    const auto report = answers::lot_report(**reader, command.lot);
    if (!report) return complain(trouble_of(report.error()));
    if (!*report)
        return complain({cli::bad_input, "No lot '" + answers::printable(command.lot, 60) +
                                             "' in " + command.records +
                                             ". padtrim yield lists them."});
    const Face face = face_of(command.json, command.csv);
    if (face == Face::text)
        print_lines(cli::summary_text(**report, {command.records, ""}, paper_of_stdout()));
    else
        tell(answers::to_json(**report), answers::sheet_of(**report), face);
    return answers::balanced((*report)->lot.count) ? cli::done : cli::station_fault;
}

int answer(const cli::ExportCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    std::FILE* out = command.out.empty() ? stdout : std::fopen(command.out.c_str(), "wb");
    if (out == nullptr)
        return complain({cli::bad_input, command.out + " cannot be written. Is there the folder?"});
    const auto exported = answers::export_rows(
        *asked.reader, asked.wish, answers::export_of(command.what).value(),
        stage_of(command.as_left),
        command.of.json ? answers::ExportAs::json_lines : answers::ExportAs::csv,
        [&](const std::string& text) { std::fwrite(text.data(), 1, text.size(), out); });
    if (out == stdout) return exported ? int{cli::done} : complain(trouble_of(exported.error()));
    const bool written = std::ferror(out) == 0;
    if (std::fclose(out) != 0 || !written)
        return complain({cli::station_fault, command.out + " is not whole: is the disk full?"});
    return exported ? int{cli::done} : complain(trouble_of(exported.error()));
}

int answer(const cli::ReportCommand& command) {
    const auto asked = wished(command.of);
    if (!asked.good()) return complain(asked.trouble);
    const answers::ReportWish wish{asked.wish, command.who, serial::SystemWallClock().now()};
    const auto report = answers::quality_report(*asked.reader, wish);
    if (!report) return complain(trouble_of(report.error()));
    const std::string wrong = write_whole(command.out, report::page_of(*report));
    if (!wrong.empty()) return complain({cli::station_fault, wrong});
    if (command.of.json)
        print_line(answers::text_of(answers::to_json(*report)));
    else
        print_line(command.out + ": " + std::to_string(report->sheets.size()) +
                   " sheets; print it from a browser.");
    return cli::done;
}

}  // namespace padtrim
