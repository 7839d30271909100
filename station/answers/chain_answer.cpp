#include "station/answers/chain_answer.hpp"

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

std::string whole_chain(const ledger::ChainReport& report) {
    std::string words = "links: " + std::to_string(report.links) +
                        ", runs under them: " + std::to_string(report.runs);
    if (report.before > 0)
        words += ", runs from before the chain began: " + std::to_string(report.before);
    return words + ".";
}

std::string run_words(record::RunId run) {
    return "run " + std::to_string(run);
}

// What is said of "run 17", where a finding without a link speaks of its run alone; "" else.
std::string said_of_run(const ledger::ChainFinding& finding) {
    if (!finding.run || finding.sequence > 0) return "";
    const std::string subject = run_words(*finding.run) + " ";
    return finding.what.starts_with(subject) ? finding.what.substr(subject.size()) : "";
}

// How many from `first` on say the same of run after run.
std::size_t span_from(const std::vector<ledger::ChainFinding>& findings, std::size_t first) {
    const std::string said = said_of_run(findings[first]);
    std::size_t count = 1;
    if (said.empty()) return count;
    for (; first + count < findings.size(); ++count) {
        const auto& next = findings[first + count];
        if (next.fault != findings[first].fault || said_of_run(next) != said ||
            *next.run != *findings[first + count - 1].run + 1)
            break;
    }
    return count;
}

std::vector<TableCell> finding_row(const ledger::ChainFinding& first,
                                   const ledger::ChainFinding& last) {
    const std::string fault(ledger::name_of(first.fault));
    if (first.run != last.run) {
        const std::string runs = std::to_string(*first.run) + " to " + std::to_string(*last.run);
        return {fault, "-", runs,
                printable("each of runs " + runs + " " + said_of_run(first), 400)};
    }
    return {fault,
            first.sequence > 0 ? count_cell(static_cast<std::uint64_t>(first.sequence))
                               : TableCell("-"),
            first.run ? count_cell(static_cast<std::uint64_t>(*first.run)) : TableCell("-"),
            printable(first.what, 400)};
}

// Thousands of runs that were put in at once are one line.
Table findings_table(const ledger::ChainReport& report) {
    Table table{"What does not fit",
                {{"", "", false}, {"link", "", true}, {"run", "", true}, {"what", "", false}},
                {}};
    const auto& findings = report.findings;
    for (std::size_t i = 0, count = 0; i < findings.size(); i += count) {
        count = span_from(findings, i);
        table.rows.push_back(finding_row(findings[i], findings[i + count - 1]));
    }
    return table;
}

}  // namespace

Json to_json(const ledger::ChainReport& report) {
    boost::json::array findings;
    for (const auto& finding : report.findings)
        findings.push_back(
            boost::json::object{{"fault", ledger::name_of(finding.fault)},
                                {"sequence", finding.sequence},
                                {"run", finding.run ? Json(*finding.run) : Json(nullptr)},
                                {"what", text(finding.what)}});
    return boost::json::object{{"sound", report.sound()},
                               {"links", report.links},
                               {"runs", report.runs},
                               {"before", report.before},
                               {"ahead", report.ahead},
                               {"sealed", report.sealed},
                               {"not_listed", report.not_listed},
                               {"findings", std::move(findings)}};
}

Sheet sheet_of(const ledger::ChainReport& report) {
    Sheet sheet;
    sheet.title = report.sound() ? "The records are those that the station wrote"
                                 : "THE RECORDS ARE NOT AS THE STATION WROTE THEM";
    sheet.sentences.push_back(whole_chain(report));
    if (!report.sealed)
        sheet.sentences.emplace_back(
            "The key file is not here: a chain made anew from end to end would not be seen.");
    if (report.ahead > 0)
        sheet.sentences.push_back("The anchor is behind by " +
                                  counted(static_cast<std::size_t>(report.ahead), "link") +
                                  ": a power cut, when few.");
    if (report.findings.empty()) return sheet;
    sheet.tables.push_back(findings_table(report));
    if (report.not_listed > 0)
        sheet.sentences.push_back("And " + counted(report.not_listed, "finding") + " more.");
    return sheet;
}

}  // namespace padtrim::answers
