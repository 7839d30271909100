#include "station/cli/author_texts.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/line_types.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::percent;
using answers::printable;
using answers::Rejudged;

constexpr std::size_t longest_list = 20;

double part(std::uint32_t some, std::uint32_t all) {
    return static_cast<double>(some) / static_cast<double>(std::max(1U, all));
}

// "87.5 %", or "87.5 to 91.7 %" where some units are open.
std::string bounded(std::uint32_t pass, std::uint32_t open, std::uint32_t units) {
    if (units == 0) return "-";
    if (open == 0) return percent(part(pass, units));
    return fmt::format("{:.1f} to {}", 100.0 * part(pass, units),
                       percent(part(pass + open, units)));
}

std::string opening(const Rejudged& answer) {
    std::string runs =
        answers::counted(answer.runs, "run") + " of " + answers::counted(answer.units, "unit");
    if (answer.drafts > 0) runs += fmt::format(" ({} drafts)", answer.drafts);
    if (answer.recipe.empty()) {
        return runs + " judged again, each by its own plan.";
    }
    return fmt::format("{} judged again by recipe {} revision {}.", runs,
                       printable(answer.recipe, 60), printable(answer.recipe_revision, 20));
}

void remark(Lines& lines, std::uint32_t count, const char* noun, const char* words) {
    if (count > 0) lines.push_back(answers::counted(count, noun) + words);
}

void add_yields(Lines& lines, const Rejudged& answer) {
    const auto& [was, now] = std::tie(answer.stored, answer.now);
    const auto table = table_lines({{"", "as stored", "judged again"},
                                    {"first-pass yield", bounded(was.first_pass, 0, answer.units),
                                     bounded(now.first_pass, now.first_open, answer.units)},
                                    {"final yield", bounded(was.final_pass, 0, answer.units),
                                     bounded(now.final_pass, now.final_open, answer.units)}},
                                   {Side::left, Side::right, Side::right}, 0);
    lines.insert(lines.end(), table.begin(), table.end());
    if (now.final_open + now.first_open == 0) return;
    lines.push_back(fmt::format(
        "{} open: judged so it would not have been stopped where it was, or the recipe asks for a "
        "step that was not measured.",
        answers::counted(std::max(now.final_open, now.first_open), "unit")));
}

void add_checks(Lines& lines, const Rejudged& answer, Checks checks, const Paper& paper) {
    std::vector<std::vector<std::string>> rows = {
        {"step", "check", "key", "units", "stored pass", "pass", "inconclusive", "fail", "yield"}};
    for (const auto& line : answer.checks) {
        const bool plain = line.pass == line.units && line.stored_pass == line.units;
        if (plain && checks == Checks::worst) continue;
        const bool left = line.stage == record::Stage::as_left;
        rows.push_back({printable(line.step, 30), line.check + (left ? ", as left" : ""),
                        printable(line.key, 20), std::to_string(line.units),
                        std::to_string(line.stored_pass), std::to_string(line.pass),
                        std::to_string(line.inconclusive), std::to_string(line.fail),
                        bounded(line.pass, 0, line.units)});
    }
    if (rows.size() == 1) return lines.emplace_back("Every check passes on every unit."), void();
    const std::vector<Side> sides = {Side::left,  Side::left,  Side::left,
                                     Side::right, Side::right, Side::right,
                                     Side::right, Side::right, Side::right};
    auto table = table_lines(rows, sides, 0);
    table.front() = styled(table.front(), {Ink::plain, true}, paper.colours);
    lines.insert(lines.end(), table.begin(), table.end());
}

void add_changed(Lines& lines, const Rejudged& answer) {
    if (answer.changed.empty()) return;
    lines.emplace_back();
    lines.emplace_back("What is judged otherwise now:");
    const std::size_t shown = std::min(longest_list, answer.changed.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const auto& run = answer.changed[i];
        lines.push_back(fmt::format("  {} (run {}, lot {}): {}, was {}. {}",
                                    printable(run.serial, 40), run.run, printable(run.lot, 40),
                                    run.open ? "open" : name_of(run.now), name_of(run.stored),
                                    printable(run.what)));
    }
    if (shown < answer.changed.size()) {
        lines.push_back(fmt::format("  ... and {} more; --json has all of them.",
                                    answer.changed.size() - shown));
    }
}

void add_own_plans(Lines& lines, const Rejudged& answer, const Paper& paper) {
    lines.push_back(fmt::format("{} of {} runs come out exactly as stored (formulas {}).",
                                answer.same, answer.runs, answer.formula_version));
    remark(lines, answer.other_formulas, "run",
           " judged by other formulas then; what they change is listed below.");
    if (answer.unexplained == 0) return;
    lines.push_back(styled(answers::counted(answer.unexplained, "run") +
                               " differ under the same plan and the same formulas. Stop using "
                               "these records until it is known why.",
                           {Ink::stop, true}, paper.colours));
}

}  // namespace

Lines rejudge_text(const Rejudged& answer, const Paper& paper, Checks checks) {
    if (answer.runs == 0 && answer.other_product == 0) return {"No stored run answers to that."};
    Lines lines = {opening(answer)};
    remark(lines, answer.other_product, "run", " of another product left out.");
    remark(lines, answer.unfit, "run",
           " left out: register map or fixture lack what the recipe asks for.");
    for (const auto& misfit : answer.misfits) {
        lines.push_back(fmt::format("  {}:{}:{}: {}", misfit.file, misfit.line, misfit.column,
                                    printable(misfit.message)));
    }
    remark(lines, answer.unreadable, "run",
           " left out: this padtrim cannot read the plan any more.");
    if (answer.recipe.empty()) {
        add_own_plans(lines, answer, paper);
    } else {
        lines.emplace_back();
        add_yields(lines, answer);
        lines.emplace_back();
        add_checks(lines, answer, checks, paper);
    }
    add_changed(lines, answer);
    return lines;
}

std::string progress_bar(std::size_t done, std::size_t total, const char* noun,
                         std::chrono::milliseconds taken, std::size_t width) {
    const std::size_t cells = std::clamp<std::size_t>(width / 3, 10, 40);
    const std::size_t filled = total == 0 ? cells : cells * done / total;
    std::string bar = ticks(filled, cells);
    bar += fmt::format(" {:3} %  {} of {} {}", total == 0 ? 100 : 100 * done / total, done, total,
                       noun);
    if (done * 50 >= total && done < total) {
        bar += ", " +
               answers::lasting(taken * static_cast<long>(total - done) / static_cast<long>(done)) +
               " left";
    }
    return answers::fitted(bar, width);
}

}  // namespace padtrim::cli
