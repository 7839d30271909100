#include "station/cli/shift_check_texts.hpp"

#include <map>
#include <tuple>

#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/printable.hpp"
#include "station/answers/times.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using record::ChartPoint;
using record::ChartState;

std::string heading_of(const record::ShiftCheck& check) {
    std::string decision(record::name_of(check.decision));
    for (char& c : decision) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return fmt::format("Station {}, {}: {}", printable(check.station, 40),
                       printable(check.fixture, 40), decision);
}

Lines units_of(const record::ShiftCheck& check) {
    std::vector<std::vector<std::string>> rows = {{"unit", "nest", "is", "verdict", ""}};
    for (const auto& unit : check.standards)
        rows.push_back({printable(unit.serial, 40), std::to_string(unit.nest),
                        unit.challenge ? "challenge unit" : "check standard",
                        std::string(record::name_of(unit.verdict)),
                        unit.as_wanted ? "as it has to be" : "not as it has to be"});
    return table_lines(rows, {Side::left, Side::right, Side::left, Side::left, Side::left});
}

// One mark a chart: within, beyond, still learning.
std::string marks_of(const std::vector<const ChartPoint*>& points) {
    std::string marks;
    for (const ChartPoint* point : points)
        marks += point->state == ChartState::beyond   ? "\u00d7"
                 : point->state == ChartState::within ? "\u00b7"
                                                      : "?";
    return marks;
}

// The widest departure, in parts of the way from centre to limit.
std::string worst_of(const std::vector<const ChartPoint*>& points) {
    double worst = -1.0;
    for (const ChartPoint* point : points) {
        const double width = point->high.value_or(0.0) - point->low.value_or(0.0);
        if (!point->low || !point->high || width <= 0.0) continue;
        worst = std::max(worst, 2.0 * std::abs(point->value - point->centre) / width);
    }
    return worst < 0.0 ? "" : fmt::format("{:.2f} of the way to its limit", worst);
}

Lines charts_of(const record::ShiftCheck& check) {
    using Group = std::tuple<std::string, std::uint16_t, std::string, std::string>;
    std::vector<Group> order;
    std::map<Group, std::vector<const ChartPoint*>> groups;
    for (const ChartPoint& point : check.points) {
        const Group group{point.place.serial, point.place.nest, point.place.step,
                          point.place.check};
        auto& points = groups[group];
        if (points.empty()) order.push_back(group);
        points.push_back(&point);
    }
    std::vector<std::vector<std::string>> rows = {{"unit", "nest", "check", "charts", "worst"}};
    for (const Group& group : order)
        rows.push_back({printable(std::get<0>(group), 40), std::to_string(std::get<1>(group)),
                        printable(std::get<3>(group), 40), marks_of(groups[group]),
                        worst_of(groups[group])});
    return table_lines(rows, {Side::left, Side::right, Side::left, Side::left, Side::left});
}

void append(Lines& lines, Lines more) {
    for (auto& line : more) lines.push_back(std::move(line));
}

}  // namespace

Lines shift_check_text(const record::ShiftCheck& check, const Paper& paper) {
    Lines lines = {styled(heading_of(check), {Ink::plain, true}, paper.colours)};
    lines.push_back(printable(check.cause, 1000));
    lines.push_back(printable(check.next_step, 1000));
    lines.emplace_back();
    append(lines, units_of(check));
    if (check.points.empty()) return lines;
    lines.emplace_back();
    append(lines, charts_of(check));
    lines.emplace_back(
        "  charts: \u00b7 within its limits, \u00d7 beyond, ? still learning; one a "
        "channel or key and frequency");
    return lines;
}

Lines shift_checks_text(const std::vector<record::ShiftCheck>& checks, const Paper& paper) {
    if (checks.empty()) return {"No shift check yet. padtrim shift-check --help says how."};
    std::vector<std::vector<std::string>> rows = {
        {"check", "when", "fixture", "who", "decision", "cause"}};
    for (const auto& check : checks)
        rows.push_back({std::to_string(check.id), answers::minute_words(check.at) + " UTC",
                        printable(check.fixture, 40), printable(check.who, 40),
                        std::string(record::name_of(check.decision)), printable(check.cause, 400)});
    Lines lines = table_lines(
        rows, {Side::right, Side::left, Side::left, Side::left, Side::left, Side::left}, 0);
    lines.front() = styled(lines.front(), {Ink::plain, true}, paper.colours);
    return lines;
}

}  // namespace padtrim::cli
