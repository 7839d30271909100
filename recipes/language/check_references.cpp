// The recipe's references against the fixture's equipment record.
#include <algorithm>
#include <cmath>

#include "recipes/document/nearest.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_documents.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/step_needs.hpp"
#include "recipes/language/tip_index.hpp"
#include "recipes/quantity/settling.hpp"

namespace padtrim::language {
namespace {

// Part of a step that may be missing when the sensor stops charging; beyond it a reference is not
// the reference that was characterised.

struct Use {
    std::string path;  // in the recipe
    std::string reference;
};

std::string on_tip(Tip tip) {
    return "nest " + std::to_string(tip.nest) + ", channel " + std::to_string(tip.channel);
}

// Where a step names references; nothing when it could not be read.
std::vector<Use> uses_of(const Reading<Recipe>& recipe, std::size_t index) {
    const auto& body = recipe.value.steps[index].body;
    std::vector<Use> uses;
    const auto [key, names] = references_of(body);
    const auto path = item_path("step", index, std::string(key));
    for (std::size_t i = 0; i < names.size(); ++i)
        uses.push_back({key == "references" ? document::path_item(path, i) : path, names[i]});
    std::erase_if(uses, [&](const Use& use) { return !recipe.document.sound(use.path); });
    return uses;
}

// The desk, with the fixture's steps looked up.
struct Bench {
    Desk desk;
    TipIndex index;
};

// False, with a message, when the fixture does not have this reference at every tip.
bool check_wired(const Bench& bench, const Use& use) {
    const auto* row = bench.index.row(use.reference);
    auto& document = bench.desk.recipe.document;
    if (row == nullptr) {
        document.complain(use.path, "the fixture has no reference " + in_quotes(use.reference),
                          document::suggestion(use.reference, bench.index.references()));
        return false;
    }
    const auto missing = std::find(row->begin(), row->end(), nullptr);
    if (missing == row->end()) return true;
    const auto& tip = bench.index.tips()[static_cast<std::size_t>(missing - row->begin())];
    document.complain(
        use.path, "the fixture has no " + use.reference + " on " + on_tip(tip),
        "Describe it in " + bench.desk.fixture.document.file() + ", or use another reference.");
    return false;
}

// Two references that cannot be told apart do not make two points of a line.
bool alike(const CharacterisedStep& one, const CharacterisedStep& two) {
    return std::abs((one.value - two.value).value()) <=
           (one.expanded_uncertainty + two.expanded_uncertainty).value();
}

void check_distinct(const Bench& bench, std::size_t index, const std::vector<Use>& uses) {
    for (std::size_t a = 0; a < uses.size(); ++a)
        for (std::size_t b = 0; b < a; ++b)
            for (std::size_t tip = 0; tip < bench.index.tips().size(); ++tip) {
                const auto& one = *(*bench.index.row(uses[b].reference))[tip];
                const auto& two = *(*bench.index.row(uses[a].reference))[tip];
                if (!alike(one, two)) continue;
                return bench.desk.recipe.document.complain(
                    item_path("step", index, "references"),
                    one.reference + " and " + two.reference + " cannot be told apart on " +
                        on_tip(bench.index.tips()[tip]) + ": they differ by " +
                        document::rounded(std::abs((one.value - two.value).value())) + " pF",
                    "Use references that differ by more than their uncertainties.");
            }
}

// A reference beyond those of the fit would verify an extrapolation.
void check_inside_span(const Bench& bench, const Use& held_out, const GainOffsetStep& fit) {
    const auto& held = *bench.index.row(held_out.reference);
    for (std::size_t tip = 0; tip < held.size(); ++tip) {
        Picofarad largest;
        for (const auto& name : fit.references)
            if (const auto* row = bench.index.row(name); row != nullptr && (*row)[tip] != nullptr)
                largest = std::max(largest, (*row)[tip]->value);
        if (largest.value() <= 0.0 || held[tip]->value <= largest) continue;
        return bench.desk.recipe.document.complain(
            held_out.path,
            held_out.reference + " is larger than every reference of the fit on " +
                on_tip(bench.index.tips()[tip]) + ", so it verifies an extrapolation",
            "Hold out a reference between them.");
    }
}

struct Unsettled {
    double part = 0.0;
    std::string where;
};

// The slowest branch of a step: the fixture's own part and the reference behind the resistor. The
// electrode's own capacitance is not known here, so the true part is larger still. The highest
// frequency leaves the least time.
Unsettled slowest(const Bench& bench, const std::vector<Use>& uses) {
    const auto& frequencies = bench.desk.map.value.frequencies;
    const auto frequency = *std::max_element(frequencies.begin(), frequencies.end());
    Unsettled worst;
    for (const auto& use : uses)
        for (std::size_t tip = 0; tip < bench.index.tips().size(); ++tip) {
            const auto* own = bench.index.parts()[tip];
            const Picofarad load = (*bench.index.row(use.reference))[tip]->value +
                                   (own != nullptr ? own->value : Picofarad());
            const double part = unsettled_part(charge_time(frequency),
                                               bench.desk.fixture.value.series_resistor, load);
            if (part <= worst.part) continue;
            worst = {part, use.reference + " on " + on_tip(bench.index.tips()[tip]) + " at " +
                               document::quantity_text(frequency.value(), "kHz")};
        }
    return worst;
}

void check_settling(const Bench& bench, std::size_t index, const std::vector<Use>& uses) {
    if (bench.desk.map.value.frequencies.empty()) return;
    const auto worst = slowest(bench, uses);
    if (worst.part <= largest_unsettled_part) return;
    const auto resistor = bench.desk.fixture.value.series_resistor;
    bench.desk.recipe.document.complain(
        item_path("step", index),
        "step " + in_quotes(bench.desk.recipe.value.steps[index].name) +
            " cannot settle: " + document::rounded(worst.part * 100.0) + " % of " + worst.where +
            " is missing through " + document::quantity_text(resistor.value(), "ohm"),
        "Use a smaller reference or series resistor, or a lower sensing frequency.");
}

// Every step of the fixture belongs to a tip of this product.
void check_tips(const Bench& bench) {
    const auto& fixture = bench.desk.fixture.value;
    const auto channels = bench.desk.map.value.channels;
    for (const auto& step : fixture.equipment.steps)
        if (fixture.nest(step.nest) == nullptr || step.channel >= channels)
            return bench.desk.fixture.document.complain(
                tip_path(bench.desk.fixture.document, step),
                step.reference + " is described on " + on_tip({step.nest, step.channel}) +
                    ", which does not exist",
                "The product has channels 0 to " + std::to_string(channels - 1) +
                    "; nests are those of [[nest]].");
}

// The offset needs to know what the fixture itself adds.
void check_parts(const Bench& bench) {
    const auto& parts = bench.index.parts();
    const auto missing = std::find(parts.begin(), parts.end(), nullptr);
    if (missing == parts.end()) return;
    const auto& tip = bench.index.tips()[static_cast<std::size_t>(missing - parts.begin())];
    bench.desk.fixture.document.complain(
        "equipment.fixture_part", "the fixture's own part is not described on " + on_tip(tip),
        "The offset is meaningless without it: give one value for each nest and channel.");
}

// Meters and sensors work within kHz and MHz of each other; farther apart is a slip of the unit.
// Common practice, no source.
constexpr double widest_frequency_ratio = 1000.0;

void check_frequency(Desk desk) {
    const Kilohertz meter = desk.fixture.value.equipment.frequency;
    for (const Kilohertz sensing : desk.map.value.frequencies) {
        const double ratio = meter / sensing;
        if (ratio < widest_frequency_ratio && 1.0 / ratio < widest_frequency_ratio) continue;
        return desk.fixture.document.complain(
            "equipment.frequency",
            "the references were characterised at " +
                document::quantity_text(meter.value(), "kHz") + ", and the product senses at " +
                document::quantity_text(sensing.value(), "kHz"),
            "Check the unit of both: values so far apart say little about each other.");
    }
}

const GainOffsetStep* fit_of(const Recipe& recipe) {
    for (const auto& step : recipe.steps)
        if (const auto* fit = std::get_if<GainOffsetStep>(&step.body)) return fit;
    return nullptr;
}

// Wiring that moves between open and closed is taken for the step. A tenth of the step is allowed:
// common practice, no source.
constexpr double largest_flexing_part = 0.1;

void check_flexing(const Bench& bench, const std::vector<Use>& uses) {
    const Picofarad flexing = bench.desk.fixture.value.equipment.flexing;
    for (const auto& use : uses) {
        const auto& row = *bench.index.row(use.reference);
        for (std::size_t tip = 0; tip < row.size(); ++tip) {
            if (flexing.value() <= largest_flexing_part * row[tip]->value.value()) continue;
            bench.desk.recipe.document.complain(
                use.path,
                "the wiring's flexing, " + document::quantity_text(flexing.value(), "pF") +
                    ", outweighs a tenth of " + use.reference + " on " +
                    on_tip(bench.index.tips()[tip]) + ", " +
                    document::quantity_text(row[tip]->value.value(), "pF"),
                "Use a larger reference, or fix and shorten the wiring and characterise it anew.");
            break;
        }
    }
}

void check_step(const Bench& bench, std::size_t index) {
    const auto& recipe = bench.desk.recipe;
    const auto uses = uses_of(recipe, index);
    bool wired = true;
    for (const auto& use : uses) wired = check_wired(bench, use) && wired;
    if (!wired || uses.empty()) return;
    check_settling(bench, index, uses);
    check_flexing(bench, uses);
    const auto& body = recipe.value.steps[index].body;
    if (uses.size() > 1) check_distinct(bench, index, uses);
    const auto* fit = fit_of(recipe.value);
    if (std::holds_alternative<VerifyStep>(body) && fit != nullptr)
        check_inside_span(bench, uses.front(), *fit);
}

}  // namespace

void check_references(Desk desk) {
    if (!desk.fixture.document.sound("equipment") || !desk.fixture.document.sound("nest") ||
        !desk.map.document.sound("channels") || desk.map.value.channels == 0 ||
        !desk.map.document.sound("frequencies"))
        return;
    check_frequency(desk);
    const Bench bench{desk, TipIndex(desk.fixture.value, desk.map.value.channels)};
    if (fit_of(desk.recipe.value) != nullptr) {
        check_tips(bench);
        check_parts(bench);
    }
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i) check_step(bench, i);
}

}  // namespace padtrim::language
