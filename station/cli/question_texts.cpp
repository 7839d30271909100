// Checked documents as text, and by what right a lot ran.
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/report_texts.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;

}  // namespace

std::string mark_of(const record::Permission& permission) {
    if (permission.kind == record::PermissionKind::draft) return " · DRAFT, not for production";
    if (permission.kind != record::PermissionKind::permit) return "";
    return " · under permit " + std::to_string(permission.id);
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
