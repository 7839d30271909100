// A plan's forecast as a score: one line a step along the unit's time. A heavy bar is what physics
// demands, the light rest behind it is talk on the links.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "station/answers/printable.hpp"
#include "station/cli/report_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using answers::StepForecast;

std::string seconds(engine::Span time) {
    return fmt::format("{:.2f} s", time.count() / 1000.0);
}

// Of a step, on a scale of `width` cells for the whole. What takes any time has one cell at least.
std::string bar_of(const StepForecast& step, engine::Span whole, std::size_t width) {
    const auto cell = [&](engine::Span at) {
        return static_cast<std::size_t>(std::lround(at / whole * static_cast<double>(width)));
    };
    if (step.time.expected.count() <= 0.0) return "";
    const std::size_t from = std::min(cell(step.begins), width - 1);
    const std::size_t to = std::max(cell(step.begins + step.time.expected), from + 1);
    const bool mostly_floor = step.time.floor > 0.5 * step.time.expected;
    const std::size_t heavy =
        std::clamp(cell(step.begins + step.time.floor), from + (mostly_floor ? 1 : 0), to);
    std::string bar(from, ' ');
    for (std::size_t i = from; i < to; ++i) bar += i < heavy ? "\u2501" : "\u2504";
    return bar;
}

std::string words_of(const StepForecast& step) {
    std::string words = printable(step.step, 30);
    if (!step.condition.empty())
        words += " (" + printable(step.condition, 40) + (step.counted ? ")" : "; in no sum)");
    if (step.retries > 0) words += fmt::format(" (up to {} times)", step.retries + 1);
    return words;
}

Lines spent_lines(const engine::Duration& whole, std::size_t width) {
    std::vector<std::vector<std::string>> rows = {{"goes to", "expected", "share", ""}};
    for (std::size_t i = 0; i < engine::kinds_of_work; ++i) {
        const auto work = static_cast<engine::Work>(i);
        const double share = whole.of(work) / whole.expected;
        if (share <= 0.0) continue;
        StepForecast part;
        part.time.expected = whole.of(work);
        if (work != engine::Work::talk) part.time.floor = whole.of(work);
        rows.push_back({std::string(name_of(work)), seconds(whole.of(work)),
                        fmt::format("{:.1f} %", 100.0 * share),
                        bar_of(part, whole.expected, width)});
    }
    return table_lines(rows, {Side::left, Side::right, Side::right, Side::left}, 0);
}

std::string bound(double value) {
    if (!std::isfinite(value)) return "any";
    return value < 1000.0 ? fmt::format("{:.3g}", value) : fmt::format("{:.0f}", value);
}

Lines charging_lines(const answers::PlanForecast& plan, const Paper& paper) {
    if (plan.charging.empty()) return {};
    std::vector<std::vector<std::string>> rows = {
        {"sensing, kHz", "largest step, pF", "missing, %", "highest, kHz", "load, pF"}};
    for (const auto& one : plan.charging) {
        rows.push_back({fmt::format("{:g}", one.drive.value()),
                        fmt::format("{:.3f}", one.load.value()),
                        fmt::format("{:.2g}", 100.0 * one.settling.missing),
                        bound(one.settling.highest_frequency.value()),
                        bound(one.settling.largest_load.value())});
    }
    const auto side = Side::right;
    Lines lines = table_lines(rows, {side, side, side, side, side}, 0);
    const std::string says = fmt::format(
        "Charge through {:g} ohm in half a period: what the largest step still misses, "
        "and the highest frequency for it and the largest load at this frequency that "
        "miss 0.1 %. An electrode's own capacitance is not known here and adds to the "
        "load.",
        plan.series_resistor.value());
    for (const auto& line : wrapped(says, paper.width)) lines.push_back(line);
    return lines;
}

std::string limit_words(const std::string& limited_by) {
    if (limited_by.empty()) return "";
    return limited_by == "finger" ? ", limited by the one finger" : ", limited by the shared port";
}

}  // namespace

Lines plan_text(const answers::PlanForecast& plan, const Paper& paper) {
    std::vector<std::vector<std::string>> rows = {{"step", "expected", "floor", "share", ""}};
    std::size_t widest = 5;
    for (const auto& step : plan.steps) widest = std::max(widest, answers::columns(words_of(step)));
    const std::size_t taken = widest + 36;
    const std::size_t width = paper.width > taken + 20 ? paper.width - taken : 20;
    for (const auto& step : plan.steps)
        rows.push_back({words_of(step), seconds(step.time.expected), seconds(step.time.floor),
                        step.counted ? fmt::format("{:.1f} %", 100.0 * step.share) : "",
                        step.counted ? bar_of(step, plan.whole.expected, width) : ""});
    rows.push_back({"one unit", seconds(plan.whole.expected), seconds(plan.whole.floor), "", ""});
    Lines lines = {styled(fmt::format("{} {} for {} on {}", printable(plan.recipe, 60),
                                      printable(plan.revision, 20), printable(plan.product, 60),
                                      printable(plan.fixture, 60)),
                          {Ink::plain, true}, paper.colours),
                   "plan " + plan.hash.substr(0, 12), ""};
    const auto side = Side::right;
    for (auto& line : table_lines(rows, {Side::left, side, side, side, Side::left}, 0))
        lines.push_back(std::move(line));
    lines.emplace_back();
    for (auto& line : spent_lines(plan.whole, width)) lines.push_back(std::move(line));
    lines.emplace_back();
    if (const auto charging = charging_lines(plan, paper); !charging.empty()) {
        lines.insert(lines.end(), charging.begin(), charging.end());
        lines.emplace_back();
    }
    lines.push_back(
        fmt::format("{} {} at best {:.0f} units an hour{}; loading and retries are in no figure.",
                    plan.nests, plan.nests == 1 ? "nest makes" : "nests make", plan.units_per_hour,
                    limit_words(plan.limited_by)));
    lines.emplace_back(
        "\u2501 floor: what physics demands (scans, settling, the finger's way, power).  "
        "\u2504 talk on the links.");
    return lines;
}

}  // namespace padtrim::cli
