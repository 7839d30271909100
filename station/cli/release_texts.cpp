#include "station/cli/release_texts.hpp"

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;

std::string day_of(record::WallTime at) {
    return answers::minute_words(at) + " UTC";
}

std::string ends_of(const record::Permit& permit) {
    std::string text;
    if (permit.quantity) text += fmt::format("{} of {} units", permit.used, *permit.quantity);
    if (permit.until)
        text += (text.empty() ? "" : ", ") + std::string("until ") + day_of(*permit.until);
    return text;
}

}  // namespace

Lines releases_text(const std::vector<record::Release>& releases, const Paper& paper) {
    if (releases.empty()) return {"No release yet. padtrim release --help says how to make one."};
    std::vector<std::vector<std::string>> rows = {
        {"release", "recipe", "revision", "fixture", "plan", "who", "when", "why"}};
    for (const auto& release : releases) {
        rows.push_back(
            {std::to_string(release.id), printable(release.plan.recipe, 40),
             printable(release.plan.recipe_revision, 20), printable(release.plan.fixture, 40),
             release.plan.hash.substr(0, 12), printable(release.who, 40), day_of(release.at),
             printable(release.why, 80) +
                 (release.withdrawn ? " (withdrawn " + day_of(*release.withdrawn) + ")" : "")});
    }
    Lines lines = table_lines(rows,
                              {Side::right, Side::left, Side::left, Side::left, Side::left,
                               Side::left, Side::left, Side::left},
                              0);
    lines.front() = styled(lines.front(), {Ink::plain, true}, paper.colours);
    return lines;
}

Lines permits_text(const std::vector<PermitUse>& permits, const Paper& paper) {
    if (permits.empty()) return {"No permit yet. padtrim permit --help says how to make one."};
    Lines lines;
    for (const auto& [permit, runs] : permits) {
        if (!lines.empty()) lines.emplace_back();
        lines.push_back(
            styled(fmt::format("Permit {}: {}, recipe {} revision {}, from release {}", permit.id,
                               printable(permit.name, 60), printable(permit.plan.recipe, 40),
                               printable(permit.plan.recipe_revision, 20), permit.release),
                   {Ink::plain, true}, paper.colours));
        lines.push_back(fmt::format("  {}; by {} on {}: {}", ends_of(permit),
                                    printable(permit.who, 40), day_of(permit.at),
                                    printable(permit.why, 120)));
        for (const auto& change : permit.changes) lines.push_back("  " + printable(change));
        for (const auto& run : runs) {
            lines.push_back(fmt::format("    {} (lot {}, run {}): {}", printable(run.serial, 40),
                                        printable(run.lot_name, 40), run.run,
                                        run.ended ? name_of(run.verdict) : "running"));
        }
    }
    return lines;
}

Lines change_lines(const language::Changes& changes) {
    Lines lines;
    for (const auto& change : changes) lines.push_back("  " + printable(change.sentence, 400));
    return lines;
}

Lines changes_text(const answers::ChangesAnswer& answer, const Paper& paper) {
    const std::string what =
        fmt::format("From {} to {}", printable(answer.before.name), printable(answer.after.name));
    if (answer.changes.empty()) return {what + ": no change."};
    Lines lines = {
        styled(fmt::format("{}: {}", what, answers::counted(answer.changes.size(), "change")),
               {Ink::plain, true}, paper.colours)};
    std::string document;
    for (const auto& change : answer.changes) {
        if (change.document != document) lines.push_back((document = change.document) + ":");
        lines.push_back("  " + printable(change.sentence, 400));
    }
    return lines;
}

}  // namespace padtrim::cli
