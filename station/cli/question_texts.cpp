// Yields and checked documents as text.
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/report_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;

std::string recipe_of(const ledger::YieldRow& row) {
    if (row.recipe.empty()) return "";
    return printable(row.recipe, 40) + " " + printable(row.recipe_revision, 20);
}

std::string share(const answers::YieldLine& line, quality::Share quality::Yield::*which) {
    return line.yield ? answers::share_text((*line.yield).*which) : "-";
}

}  // namespace

std::string mark_of(const record::Permission& permission) {
    if (permission.kind == record::PermissionKind::draft) return " · DRAFT, not for production";
    if (permission.kind != record::PermissionKind::permit) return "";
    return " · under permit " + std::to_string(permission.id);
}

Lines yield_text(const std::vector<answers::YieldLine>& lines, const Paper& paper) {
    std::vector<std::vector<std::string>> rows = {{"lot", "recipe", "station", "units",
                                                   "first-pass yield", "final yield", "retested",
                                                   "no verdict"}};
    for (const auto& line : lines) {
        const auto& count = line.row.count;
        rows.push_back({printable(line.row.lot, 40), recipe_of(line.row),
                        printable(line.row.station, 40), std::to_string(count.units),
                        share(line, &quality::Yield::first_pass),
                        share(line, &quality::Yield::final_pass), std::to_string(count.retested),
                        std::to_string(count.without_verdict)});
    }
    Lines text = table_lines(rows,
                             {Side::left, Side::left, Side::left, Side::right, Side::right,
                              Side::right, Side::right, Side::right},
                             0);
    text.front() = styled(text.front(), {Ink::plain, true}, paper.colours);
    text.emplace_back();
    text.emplace_back(
        "Brackets: 95 % interval (Wilson). Units without a verdict count neither way.");
    return text;
}

Lines check_text(const answers::DocumentsCheck& check, const Paper& paper) {
    Lines lines;
    for (const auto& diagnostic : check.diagnostics) {
        lines.push_back(answers::printable_lines(document::text_of(diagnostic)));
        lines.emplace_back();
    }
    for (const auto& warning : check.warnings) {
        lines.push_back("warning: " + answers::printable_lines(document::text_of(warning)));
        lines.emplace_back();
    }
    for (const auto& plan : check.plans) {
        lines.push_back(fmt::format("{}: recipe {} revision {} on {} makes plan {}",
                                    printable(plan.recipe_path), printable(plan.recipe, 60),
                                    printable(plan.revision, 20), printable(plan.fixture_path),
                                    plan.hash.substr(0, 12)));
    }
    for (const auto& path : check.alone) {
        lines.push_back(fmt::format(
            "{}: not checked against a product and a fixture; give its register map and fixture "
            "profile too",
            printable(path)));
    }
    if (check.good()) {
        for (const auto& document : check.documents) {
            lines.push_back(
                fmt::format("{}: a good {}", printable(document.path), name_of(document.kind)));
        }
    } else {
        lines.push_back(styled(answers::counted(check.diagnostics.size(), "problem"),
                               {Ink::stop, true}, paper.colours));
    }
    return lines;
}

}  // namespace padtrim::cli
