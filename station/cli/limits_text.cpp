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

std::string parts_per_million(double part) {
    constexpr double least = 0.01;
    const double ppm = 1e6 * part;
    if (ppm < least) return "below 0.01";
    return ppm < 100.0 ? fmt::format("{:.2g}", ppm) : fmt::format("{:.0f}", ppm);
}

Lines risk_lines(const answers::LimitProposals& answer, const Paper& paper, bool keys) {
    std::vector<std::vector<std::string>> rows = {
        {"check", "kHz", "in force", "bad", "bad and passed", "good, not passed"}};
    for (const auto& line : answer.checks) {
        const bool whole = line.frequency < 0 && line.key.empty();
        if (!line.risk || !(whole || keys)) continue;
        auto row = row_of(line, answer.plan);
        rows.push_back({row[0], row[1], row[3], parts_per_million(line.risk->nonconforming),
                        parts_per_million(line.risk->consumer),
                        parts_per_million(line.risk->producer)});
    }
    if (rows.size() == 1) return {};
    const auto side = Side::right;
    auto lines = table_lines(rows, {Side::left, side, Side::left, side, side, side}, 0);
    lines.front() = styled(lines.front(), {Ink::plain, true}, paper.colours);
    for (const auto& line :
         wrapped("Parts per million of units under the limits in force, if the line goes on so and "
                 "a key's true values are normal (JCGM 106 9.5); a line for all stands for the "
                 "worst key.",
                 paper.width))
        lines.push_back(line);
    return lines;
}

}  // namespace

Lines limits_text(const answers::LimitProposals& answer, const Paper& paper, bool keys) {
    if (answer.units == 0) return {"No stored run answers to that."};
    Lines lines = {
        fmt::format("From {}: limits that hold {:.4g} % of what the line makes, with {:.4g} % "
                    "confidence (ISO 16269-6).{}",
                    answers::counted(answer.units, "unit"), 100.0 * answer.aim.content,
                    100.0 * answer.aim.confidence,
                    answer.drafts == 0
                        ? std::string()
                        : fmt::format(" {} of them by drafts; --released leaves those out.",
                                      answer.drafts)),
        ""};
    std::vector<std::vector<std::string>> rows = {{"check", "kHz", "values", "in force", "yield",
                                                   "normal", "yield", "distribution-free",
                                                   "yield"}};
    std::uint64_t wanted = 0;
    bool few = false;
    for (const auto& line : answer.checks) {
        const bool whole = line.frequency < 0 && line.key.empty();
        if (whole || keys) rows.push_back(row_of(line, answer.plan));
        few = few || (!whole && line.spread.values < answer.fewest);
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
    if (few) {
        lines.push_back(
            fmt::format("A key with fewer than {} values gets no proposal.", answer.fewest));
    }
    if (wanted > 0 && !few) {
        lines.push_back(fmt::format(
            "Where no distribution-free limits stand there are too few units: it takes {}.",
            wanted));
    }
    if (auto risks = risk_lines(answer, paper, keys); !risks.empty()) {
        lines.emplace_back();
        lines.insert(lines.end(), risks.begin(), risks.end());
    }
    return lines;
}

}  // namespace padtrim::cli
