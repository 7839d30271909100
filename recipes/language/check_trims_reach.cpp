// Every unit that the limits let through to the write has to be one that the trims can reach; what
// lies outside is failed after all the measurements, and says less about itself.
#include <cmath>

#include "recipes/document/quantity_text.hpp"
#include "recipes/document/toml.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/recipe_limits.hpp"

namespace padtrim::language {
namespace {

using document::Limit;

struct Reach {
    std::string_view limit_key, unit;
    Limit units;             // that the trim can bring to nominal
    const TrimFormat& trim;  // its unit is 1 for a gain trim, counts for an offset trim
    std::string_view trim_unit;
    double nominal = 0.0;  // of a gain trim: nominal / found; 0 for an offset trim
    [[nodiscard]] double trim_for(double found) const {
        return nominal > 0.0 ? nominal / found : found;
    }
};

// Rounded inwards, so that what a message proposes is good.
Limit proposal(const Limit& reach) {
    return {std::ceil(*reach.low * 100.0) / 100.0, std::floor(*reach.high * 100.0) / 100.0};
}

void cannot_reach(document::Document& document, const std::string& path, const Reach& reach,
                  double end) {
    document.complain(
        path,
        "the trims cannot reach every unit that this limit allows: a unit at " +
            document::quantity_text(end, reach.unit) + " needs a trim of " +
            document::quantity_text(std::round(reach.trim_for(end) * 1e4) / 1e4, reach.trim_unit) +
            ", its register takes " + document::number_text(reach.trim.minimum) + " to " +
            document::quantity_text(reach.trim.maximum, reach.trim_unit),
        "Narrow the limit, or widen the trim's range in the register map if the product allows.");
}

// An open side lets units through that are beyond any trim.
void open_side(document::Document& document, const std::string& path, const Reach& reach,
               const Limit& limit) {
    const std::string which = limit.low ? "no upper end" : "no lower end";
    document.complain(path,
                      limit.low || limit.high
                          ? "this limit has " + which + ", and the trims do not reach every unit"
                          : "the trims do not reach every unit, and nothing limits " +
                                std::string(reach.limit_key) + " before they are written",
                      "Write limits." + std::string(reach.limit_key) + " = \"" +
                          document::limit_text(proposal(reach.units), reach.unit) +
                          "\" or narrower: what the trims can reach.");
}

void check_one(document::Document& document, const PlacedLimits& placed, const Reach& reach) {
    const auto path = placed.path(reach.limit_key);
    const auto* check = check_with_limit(declaration_of(placed.body), reach.limit_key);
    if (check == nullptr || !placed.holds(reach.limit_key) || !document.sound(path)) return;
    auto limit = limit_of(placed.body, check->name);
    if (reach.nominal > 0.0 && limit.low && *limit.low <= 0.0) limit.low.reset();
    for (const auto& end : {limit.low, limit.high})
        if (end && (*end < *reach.units.low || *end > *reach.units.high))
            return cannot_reach(document, path, reach, *end);
    if (!limit.low || !limit.high) open_side(document, path, reach, limit);
}

Reach gain_reach(std::string_view key, std::string_view unit, const TrimFormat& trim,
                 double nominal) {
    return {key, unit, {nominal / trim.maximum, nominal / trim.minimum}, trim, "1", nominal};
}

void check_step(Desk desk, const PlacedLimits& placed, const WriteTrimsStep& write) {
    auto& document = desk.recipe.document;
    const auto& map = desk.map.value;
    const bool to_touch = write.target == TrimTarget::touch;
    if (std::holds_alternative<GainOffsetStep>(placed.body)) {
        const auto& trim = map.offset_trim;
        check_one(document, placed,
                  {"offset", "counts", {trim.minimum, trim.maximum}, trim, "counts"});
        if (!to_touch && desk.fixture.value.coupling == Coupling::contact)
            check_one(document, placed,
                      gain_reach("gain", "counts/pF", map.gain_trim, map.nominal_gain.value()));
    }
    if (std::holds_alternative<TouchStep>(placed.body) && to_touch &&
        write.target_response.value() > 0.0)
        check_one(document, placed,
                  gain_reach("response", "counts", map.gain_trim, write.target_response.value()));
}

const WriteTrimsStep* write_of(const Recipe& recipe) {
    for (const auto& step : recipe.steps)
        if (const auto* write = std::get_if<WriteTrimsStep>(&step.body)) return write;
    return nullptr;
}

}  // namespace

void check_trims_reach(Desk desk) {
    const auto& recipe = desk.recipe;
    const auto* write = write_of(recipe.value);
    if (write == nullptr || !desk.map.document.sound("trims") ||
        desk.map.value.gain_trim.minimum <= 0.0)
        return;
    for (std::size_t i = 0; i < recipe.value.steps.size(); ++i)
        if (recipe.document.sound(item_path("step", i, "do")))
            for (const auto& placed : limits_in(recipe.value.steps[i], i))
                check_step(desk, placed, *write);
}

}  // namespace padtrim::language
