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

Table findings_table(const ledger::ChainReport& report) {
    Table table{"What does not fit",
                {{"", "", false}, {"link", "", true}, {"run", "", true}, {"what", "", false}},
                {}};
    for (const auto& finding : report.findings)
        table.rows.push_back(
            {std::string(ledger::name_of(finding.fault)),
             finding.sequence > 0 ? count_cell(static_cast<std::uint64_t>(finding.sequence))
                                  : TableCell("-"),
             finding.run ? count_cell(static_cast<std::uint64_t>(*finding.run)) : TableCell("-"),
             printable(finding.what, 400)});
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
