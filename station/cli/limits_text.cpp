// Proposed limits as text.
#include <fmt/format.h>

#include "station/answers/figures.hpp"
#include "station/answers/kilohertz.hpp"
#include "station/answers/printable.hpp"
#include "station/cli/author_texts.hpp"
#include "station/cli/table.hpp"

namespace padtrim::cli {
namespace {

using answers::printable;
using answers::ProposedLimits;

std::string yield_of(const answers::UnitsUnder& units) {
    if (units.units() == 0) return "-";
    return answers::percent(static_cast<double>(units.pass) / units.units());
}

std::string stored_of(const ProposedLimits& line) {
    const std::string range = answers::allowed(line.stored.low, line.stored.high);
    return range.empty() ? "none" : range;
}

std::vector<std::string> row_of(const ProposedLimits& line, const language::PlanPtr& plan) {
    const bool whole = line.frequency < 0 && line.key.empty();
    const auto proposal = [](const std::optional<answers::Proposal>& made) {
        return made ? made->text : std::string("-");
    };
    const auto yield = [](const std::optional<answers::Proposal>& made) {
        return made ? yield_of(made->units) : std::string("-");
    };
    return {whole ? printable(line.check, 30) : "  " + printable(line.key, 28),
            whole ? "all" : answers::kilohertz(plan, line.frequency),
            std::to_string(line.spread.values),
            stored_of(line),
            yield_of(line.under_stored),
            proposal(line.normal),
            yield(line.normal),
            proposal(line.distribution_free),
            yield(line.distribution_free)};
}

}  // namespace

Lines limits_text(const answers::LimitProposals& answer, const Paper& paper, bool keys) {
    if (answer.units == 0) return {"No stored run answers to that."};
    Lines lines = {
        fmt::format("From {}: limits that hold {:.4g} % of what the line makes, with {:.4g} % "
                    "confidence (ISO 16269-6).",
                    answers::counted(answer.units, "unit"), 100.0 * answer.aim.content,
                    100.0 * answer.aim.confidence),
        ""};
    std::vector<std::vector<std::string>> rows = {{"check", "kHz", "values", "in force", "yield",
                                                   "normal", "yield", "distribution-free",
                                                   "yield"}};
    std::uint64_t wanted = 0;
    for (const auto& line : answer.checks) {
        const bool whole = line.frequency < 0 && line.key.empty();
        if (whole || keys) rows.push_back(row_of(line, answer.plan));
        if (!line.distribution_free) wanted = std::max(wanted, line.wanted);
    }
    auto table = table_lines(rows,
                             {Side::left, Side::right, Side::right, Side::left, Side::right,
                              Side::left, Side::right, Side::left, Side::right},
                             0);
    table.front() = styled(table.front(), {Ink::plain, true}, paper.colours);
    lines.insert(lines.end(), table.begin(), table.end());
    lines.emplace_back();
    lines.emplace_back(
        "One line holds every key. A proposal says what the line does, not what the "
        "product needs.");
    if (wanted > 0) {
        lines.push_back(fmt::format(
            "Where no distribution-free limits stand there are too few units: it takes {}.",
            wanted));
    }
    return lines;
}

}  // namespace padtrim::cli
