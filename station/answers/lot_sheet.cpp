#include "station/answers/lot_sheet.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/yield_report.hpp"

namespace padtrim::answers {
namespace {

constexpr std::size_t named_units = 12;

std::string serials_of(const UnitGroup& group) {
    std::string words;
    for (std::size_t i = 0; i < group.serials.size() && i < named_units; ++i)
        words += (i > 0 ? ", " : "") + (group.serials[i].empty() ? std::string("(no serial)")
                                                                 : printable(group.serials[i], 40));
    if (group.serials.size() > named_units)
        words += fmt::format(" and {} more", group.serials.size() - named_units);
    return words;
}

Table groups_table(const LotReport& report) {
    Table table{"What did not pass, and what to do",
                {{"units", "", true},
                 {"verdict", "", false},
                 {"which", "", false},
                 {"why", "", false},
                 {"next", "", false}},
                {}};
    for (const auto& group : report.groups)
        table.rows.push_back({count_cell(group.serials.size()), std::string(name_of(group.mark)),
                              serials_of(group), printable(group.reason, 300),
                              printable(group.next_step, 200)});
    for (const auto& unit : report.set_aside)
        table.rows.push_back({count_cell(1), "removed", printable(unit.serial, 40),
                              printable(unit.reason, 300), ""});
    return table;
}

TapeFigure tape_of(const LotReport& report) {
    TapeFigure tape{"tape", "The lot as a tape", "", {}};
    tape.sentence = "Units in the order they came, ten to a group.";
    for (const auto& mark : report.tape)
        tape.units.push_back({printable(mark.serial, 40), std::string(name_of(mark.mark))});
    return tape;
}

Table books_table(const record::LotCount& count) {
    Table table{"Every unit that was loaded",
                {{"loaded", "", true},
                 {"pass", "", true},
                 {"fail", "", true},
                 {"inconclusive", "", true},
                 {"no verdict", "", true},
                 {"removed", "", true}},
                {}};
    table.rows.push_back({count_cell(count.loaded), count_cell(count.pass), count_cell(count.fail),
                          count_cell(count.inconclusive), count_cell(count.no_verdict),
                          count_cell(count.removed)});
    return table;
}

std::string books_of(const LotReport& report) {
    const auto held = std::count_if(report.tape.begin(), report.tape.end(), [](const auto& unit) {
        return name_of(unit.mark) == std::string_view("quarantined");
    });
    return reconciliation(report.lot.count) +
           (held > 0 ? fmt::format("; of them quarantined {}", held) : "");
}

}  // namespace

bool balanced(const record::LotCount& count) {
    return count.loaded ==
           count.pass + count.fail + count.inconclusive + count.no_verdict + count.removed;
}

Sheet sheet_of(const LotReport& report) {
    Sheet sheet;
    sheet.title = "Lot " + printable(report.lot.name, 64);
    sheet.sentences.push_back(books_of(report) +
                              (balanced(report.lot.count)
                                   ? ": every unit is accounted for."
                                   : ": THE BOOKS DO NOT BALANCE. Verify the records."));
    if (report.lot.permission.kind == record::PermissionKind::draft)
        sheet.sentences.emplace_back("DRAFT: not for production.");
    if (report.lot.open) sheet.sentences.emplace_back("The lot is still open.");
    if (report.yield)
        sheet.sentences.push_back("First-pass yield " + share_text(report.yield->first_pass) +
                                  ", final yield " + share_text(report.yield->final_pass) + ".");
    sheet.tables.push_back(books_table(report.lot.count));
    if (!report.tape.empty()) sheet.tapes.push_back(tape_of(report));
    if (!report.groups.empty() || !report.set_aside.empty())
        sheet.tables.push_back(groups_table(report));
    return sheet;
}

}  // namespace padtrim::answers
