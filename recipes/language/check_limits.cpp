// Limits against what the fixture can state and the unit can hold.
#include <algorithm>
#include <cmath>

#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"
#include "recipes/language/register_extent.hpp"

namespace padtrim::language {
namespace {

std::string limit_path(std::size_t index, std::string_view key) {
    return item_path("step", index, "limits." + std::string(key));
}

template <class Q>
double width_of(const Interval<Q>& limit) {
    if (!limit.low || !limit.high) return INFINITY;
    return (*limit.high - *limit.low).value();
}

// One scan counts in whole counts; a mean of many has the floor of one count over sqrt(12).
const double resolution_floor = 1.0 / std::sqrt(12.0);

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

struct Tips {
    Picofarad largest_step;      // of the references that the recipe fits
    double common_relative = 0;  // the smallest one: what is certain on every tip
    Picofarad fixture_part;      // the largest one
};

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

void too_fine(Desk desk, std::size_t index, std::string_view key, const std::string& finest) {
    desk.recipe.document.complain(limit_path(index, key),
                                  "this limit is finer than can be resolved: " + finest,
                                  "Widen it; no unit could be shown to pass.");
}

// Guarded acceptance takes at least one standard uncertainty off each side (consumer's risk up to
// 16 %), so a limit not wider than two of them holds nothing.
void check_gain_width(Desk desk, std::size_t index, const GainOffsetStep& fit, const Tips& tips) {
    const auto& decision = desk.recipe.value.decision;
    if (!fit.gain.low || tips.largest_step.value() <= 0.0) return;
    const double width = width_of(fit.gain);
    const double step = 1.0 / tips.largest_step.value();
    if (width < step * resolution_floor)
        return too_fine(
            desk, index, "gain",
            "one count over the largest reference is " + document::rounded(step) + " counts/pF");
    const double common = tips.common_relative * fit.gain.low->value();
    if (decision.kind == DecisionKind::guarded && decision.consumer_risk <= 0.16 &&
        width <= 2.0 * common)
        too_fine(desk, index, "gain",
                 "the references' common uncertainty alone is " + document::rounded(common) +
                     " counts/pF (k = 1)");
}

template <class Q>
void check_width(Desk desk, std::size_t index, std::string_view key, const Interval<Q>& limit,
                 double floor, const std::string& finest) {
    if (width_of(limit) < floor) too_fine(desk, index, key, finest);
}

void check_resolution(Desk desk, std::size_t index, const Tips& tips) {
    const auto& body = desk.recipe.value.steps[index].body;
    const std::string one_count = "readings are whole counts (0.2887 counts, k = 1)";
    if (const auto* fit = std::get_if<GainOffsetStep>(&body)) {
        check_gain_width(desk, index, *fit, tips);
        check_width(desk, index, "offset", fit->offset, resolution_floor, one_count);
    }
    if (const auto* noise = std::get_if<NoiseStep>(&body);
        noise && noise->noise.high && noise->noise.high->value() < resolution_floor)
        too_fine(desk, index, "noise", one_count);
    if (const auto* touch = std::get_if<TouchStep>(&body))
        check_width(desk, index, "response", touch->response, resolution_floor, one_count);
    if (const auto* verify = std::get_if<VerifyStep>(&body)) {
        const auto& trim = desk.map.value.gain_trim;
        const double lsb = 100.0 * std::ldexp(1.0, -static_cast<int>(trim.fraction_bits));
        if (desk.map.document.sound("trims") && trim.maximum > 0.0)
            check_width(desk, index, "gain_error", verify->gain_error, lsb / trim.maximum,
                        "one step of the gain trim is " + document::rounded(lsb) + " %");
    }
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

void cannot_reach(Desk desk, std::size_t index, std::string_view key, const std::string& which,
                  double needed, std::string_view unit, const TrimFormat& trim) {
    const auto path = limit_path(index, key);
    if (!desk.recipe.document.sound(path)) return;
    desk.recipe.document.complain(
        path,
        "the trims cannot reach every unit that this limit allows: a unit at " + which +
            " needs a trim of " + document::quantity_text(std::round(needed * 1e4) / 1e4, unit) +
            ", its register takes " + document::number_text(trim.minimum) + " to " +
            document::quantity_text(trim.maximum, unit),
        "Narrow the limit, or widen the trim's range in the register map if the product allows.");
}

// gain trim = nominal / found, so the ends of the limit change places.
template <class Q>
void check_gain_reach(Desk desk, std::size_t index, std::string_view key, const Interval<Q>& limit,
                      double nominal) {
    const auto& trim = desk.map.value.gain_trim;
    for (const auto& end : {limit.low, limit.high}) {
        if (!end || end->value() <= 0.0) continue;
        const double needed = nominal / end->value();
        if (needed >= trim.minimum && needed <= trim.maximum) continue;
        return cannot_reach(desk, index, key, document::quantity_text(end->value(), Q::symbol()),
                            needed, "1", trim);
    }
}

void check_offset_reach(Desk desk, std::size_t index, const Interval<Counts>& limit) {
    const auto& trim = desk.map.value.offset_trim;
    for (const auto& end : {limit.low, limit.high})
        if (end && (end->value() < trim.minimum || end->value() > trim.maximum))
            return cannot_reach(desk, index, "offset",
                                document::quantity_text(end->value(), "counts"), end->value(),
                                "counts", trim);
}

const WriteTrimsStep* write_of(const Recipe& recipe) {
    for (const auto& step : recipe.steps)
        if (const auto* write = std::get_if<WriteTrimsStep>(&step.body)) return write;
    return nullptr;
}

void check_reach(Desk desk, std::size_t index) {
    const auto* write = write_of(desk.recipe.value);
    if (write == nullptr || !desk.map.document.sound("trims")) return;
    const auto& body = desk.recipe.value.steps[index].body;
    if (const auto* fit = std::get_if<GainOffsetStep>(&body)) {
        check_offset_reach(desk, index, fit->offset);
        if (write->target == TrimTarget::gain)
            check_gain_reach(desk, index, "gain", fit->gain, desk.map.value.nominal_gain.value());
    }
    const auto* touch = std::get_if<TouchStep>(&body);
    if (touch != nullptr && write->target == TrimTarget::touch &&
        write->target_response.value() > 0.0)
        check_gain_reach(desk, index, "response", touch->response, write->target_response.value());
}

}  // namespace

void check_limits(Desk desk) {
    const auto& fixture = desk.fixture;
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i) {
        if (!desk.recipe.document.sound(item_path("step", i))) continue;
        if (fixture.document.sound("coupling") && fixture.value.coupling == Coupling::plate)
            refuse_on_plate(desk, i);
        check_reach(desk, i);
        const auto* fit = std::get_if<GainOffsetStep>(&desk.recipe.value.steps[i].body);
        const auto tips =
            tips_of(fixture.value, fit ? fit->references : std::vector<std::string>{});
        if (fixture.document.sound("equipment")) check_resolution(desk, i, tips);
        if (fit != nullptr && fixture.document.sound("equipment"))
            check_counts_fit(desk, i, *fit, tips);
    }
}

}  // namespace padtrim::language
