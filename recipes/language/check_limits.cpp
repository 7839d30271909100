// Limits against what the fixture can state and the unit can hold.
#include <algorithm>
#include <cmath>

#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/recipe_limits.hpp"
#include "recipes/language/register_extent.hpp"

namespace padtrim::language {
namespace {

std::string limit_path(std::size_t index, std::string_view key) {
    return item_path("step", index, "limits." + std::string(key));
}

// A plate's step depends on the unknown coupling, so counts over pF mean nothing there.
void refuse_on_plate(Desk desk, std::size_t index) {
    auto& document = desk.recipe.document;
    const auto& body = desk.recipe.value.steps[index].body;
    const std::string why = "the fixture couples through a plate, whose step in pF is not known";
    const std::string mend = "Judge touch responses on it, or use a fixture with contacts.";
    if (const auto* fit = std::get_if<GainOffsetStep>(&body); fit && fit->gain.limited())
        document.complain(limit_path(index, "gain"), why, mend);
    if (const auto* write = std::get_if<WriteTrimsStep>(&body);
        write && write->target == TrimTarget::gain)
        document.complain(item_path("step", index), why, mend);
    if (const auto* verify = std::get_if<VerifyStep>(&body); verify && verify->gain_error.limited())
        document.complain(limit_path(index, "gain_error"), why, mend);
}

// The highest reading that an allowed unit may give has to fit the register.
void check_counts_fit(Desk desk, std::size_t index, const GainOffsetStep& fit, const Tips& tips) {
    const auto& map = desk.map.value;
    if (!desk.map.document.sound("scan.raw") || !desk.map.document.sound("trims")) return;
    const CountsPerPicofarad gain = fit.gain.high.value_or(map.nominal_gain);
    const Counts offset = fit.offset.high.value_or(map.nominal_offset);
    const Counts highest = offset + gain * (tips.largest_step + tips.fixture_part);
    const double held = range_of(map.raw_counts.cell).high;
    if (highest.value() <= held || held <= 0.0) return;
    desk.recipe.document.complain(
        item_path("step", index, "references"),
        "a unit at these limits reads up to " + document::rounded(highest.value()) +
            " counts; its register holds " + document::rounded(held),
        "Use smaller references or narrower limits, or check the register map.");
}

}  // namespace

Tips tips_of(const FixtureProfile& fixture, const std::vector<std::string>& references) {
    Tips tips;
    bool first = true;
    for (const auto& step : fixture.equipment.steps) {
        if (std::count(references.begin(), references.end(), step.reference) == 0) continue;
        tips.largest_step = std::max(tips.largest_step, step.value);
        tips.common_relative =
            first ? step.common_relative : std::min(tips.common_relative, step.common_relative);
        first = false;
    }
    for (const auto& part : fixture.equipment.fixture_parts)
        tips.fixture_part = std::max(tips.fixture_part, part.value);
    return tips;
}

void check_limits(Desk desk) {
    check_trims_reach(desk);
    check_resolution(desk);
    const auto& fixture = desk.fixture;
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i) {
        if (!desk.recipe.document.sound(item_path("step", i, "do")) ||
            !desk.recipe.document.sound(item_path("step", i, "references")))
            continue;
        if (fixture.document.sound("coupling") && fixture.value.coupling == Coupling::plate)
            refuse_on_plate(desk, i);
        const auto* fit = std::get_if<GainOffsetStep>(&desk.recipe.value.steps[i].body);
        if (fit != nullptr && fixture.document.sound("equipment"))
            check_counts_fit(desk, i, *fit, tips_of(fixture.value, fit->references));
    }
}

}  // namespace padtrim::language
