#include "station/cli/reference_texts.hpp"

#include <algorithm>
#include <cmath>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <fmt/format.h>

namespace padtrim::cli {
namespace {

using metrology::Characterisation;
using metrology::StepChange;
using metrology::StepFinding;

std::string tip_text(const StepChange& change) {
    return fmt::format("nest {}, channel {}, {}", change.nest, change.channel,
                       change.reference.empty() ? "fixture's part" : change.reference);
}

// The widest of each reference's budgets stands for all its tips.
const StepFinding* widest(const Characterisation& found) {
    const auto by_whole = [](const StepFinding& a, const StepFinding& b) {
        return a.whole.expanded < b.whole.expanded;
    };
    const auto at = std::max_element(found.steps.begin(), found.steps.end(), by_whole);
    return at == found.steps.end() ? nullptr : &*at;
}

}  // namespace

Lines reference_lines(const Characterisation& found, const std::vector<StepChange>& changes) {
    Lines lines;
    lines.push_back(fmt::format("{:<34} {:>8}  {:>8}  {:>8}  {:>8}", "tip", "before", "now",
                                "change", "expanded"));
    std::size_t moved = 0;
    for (const StepChange& change : changes) {
        const double both = std::hypot(change.expanded_before, change.expanded_now);
        lines.push_back(fmt::format(
            "{:<34} {:>8.4f}  {:>8.4f}  {:>+8.4f}  {:>8.4f}{}", tip_text(change), change.before,
            change.now, change.now - change.before, both, change.changed ? "  changed" : ""));
        moved += change.changed;
    }
    lines.push_back(
        moved == 0
            ? std::string("Nothing changed by more than both uncertainties and chance allow "
                          "(values in pF).")
            : fmt::format("{} of {} changed by more than both uncertainties and chance allow. Look "
                          "for moved wiring, a worn pin or a damaged reference before "
                          "this profile is released.",
                          moved, changes.size()));
    if (const StepFinding* step = widest(found)) {
        lines.push_back(fmt::format("Widest budget: {} on nest {}, channel {}.",
                                    step->step.reference, step->step.nest, step->step.channel));
        lines.push_back(metrology::budget_text(step->budget));
        lines.push_back(
            "The record states the definition by itself (definition_relative); its expanded "
            "uncertainties hold the other terms.");
    }
    return lines;
}

boost::json::value reference_json(const Characterisation& found,
                                  const std::vector<StepChange>& changes) {
    boost::json::array steps, parts, moved;
    for (const StepFinding& each : found.steps)
        steps.push_back({{"nest", each.step.nest},
                         {"channel", each.step.channel},
                         {"reference", each.step.reference},
                         {"picofarad", each.step.value.value()},
                         {"expanded_uncertainty", each.step.expanded_uncertainty.value()},
                         {"with_definition", each.whole.expanded}});
    for (const auto& each : found.parts)
        parts.push_back({{"nest", each.nest},
                         {"channel", each.channel},
                         {"picofarad", each.value.value()},
                         {"expanded_uncertainty", each.expanded_uncertainty.value()}});
    for (const StepChange& each : changes)
        if (each.changed)
            moved.push_back({{"nest", each.nest},
                             {"channel", each.channel},
                             {"reference", each.reference},
                             {"before", each.before},
                             {"now", each.now}});
    return boost::json::object{{"steps", std::move(steps)},
                               {"fixture_parts", std::move(parts)},
                               {"changed", std::move(moved)}};
}

}  // namespace padtrim::cli
