// Limits, and exceptions from them, against the smallest and the largest that the station and the
// product can tell.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/exchange_time.hpp"
#include "recipes/language/key_track.hpp"
#include "recipes/language/recipe_limits.hpp"
#include "recipes/language/register_extent.hpp"
#include "recipes/language/step_needs.hpp"

namespace padtrim::language {
namespace {

using document::Limit;
using document::rounded;

// One scan counts in whole counts; a mean of many has the floor of one count over sqrt(12).
const double resolution_floor = 1.0 / std::sqrt(12.0);
const std::string one_count = "readings are whole counts (0.2887 counts, k = 1)";
// Motion controllers of fingers tell places to hundredths: common practice, no source.
constexpr double finest_height = 0.01;

double width_of(const Limit& limit) {
    return limit.low && limit.high ? *limit.high - *limit.low : INFINITY;
}

class ResolutionCheck {
  public:
    ResolutionCheck(Desk desk, const PlacedLimits& placed) : desk_(desk), placed_(placed) {}

    template <class Body>
    void operator()(const Body&) const {}
    void operator()(const ContactStep& step) const {
        if (!fixture_known()) return;
        width("contact", percent_of({step.reference}), one_count);
        above("isolation", percent_of({step.reference}), one_count);
    }
    void operator()(const GainOffsetStep& step) const {
        held("offset", 1.0);
        width("offset", resolution_floor, one_count);
        if (!fixture_known()) return;
        fixture_part_width("offset");
        gain_width(step);
        above("non_linearity", percent_of(step.references), one_count);
    }
    void operator()(const NonLinearityStep& step) const {
        if (fixture_known()) above("non_linearity", percent_of(step.references), one_count);
    }
    void operator()(const FrequencyStep& step) const {
        if (fixture_known()) above("departure", percent_of({step.reference}), one_count);
    }
    void operator()(const NoiseStep&) const { above("noise", resolution_floor, one_count); }
    void operator()(const WarmUpStep&) const { above("drift", resolution_floor, one_count); }
    void operator()(const TouchStep&) const {
        reachable_signal();
        held("response", 1.0);
        width("response", resolution_floor, one_count);
    }
    void operator()(const VerifyStep& step) const {
        const auto& map = desk_.map.value;
        if (!desk_.map.document.sound("trims")) return;
        const double gain = 100.0 * std::ldexp(1.0, -static_cast<int>(map.gain_trim.fraction_bits));
        if (map.gain_trim.maximum > 0.0)
            width("gain_error", gain / map.gain_trim.maximum,
                  "one step of the gain trim is " + rounded(gain) + " %");
        width("offset_error", resolution_floor, one_count);
        if (!fixture_known()) return;
        fixture_part_width("offset_error");
        held_out_width(step);
    }
    void operator()(const LinkStep&) const {
        const auto& map = desk_.map.value;
        if (map.supply && map.supply->resolution() > 0.0 && desk_.map.document.sound("supply")) {
            const double volts = map.supply->resolution();
            width("supply", volts, "one count of its register is " + rounded(volts) + " V");
            range("supply", range_of(map.supply->where.cell), volts, "V");
        }
        above_exchange("reply_time", map.product_code, "one exchange takes ");
    }
    void operator()(const ApproachStep& step) const {
        width("surface", finest_height, "heights are told to 0.01 mm");
        distances(step.interval.value());
    }
    void operator()(const ProximityStep& step) const {
        held("response", 1.0);
        width("response", resolution_floor, one_count);
        distances(step.interval.value());
    }
    void operator()(const ResponseStep&) const {
        above_exchange("response_time", desk_.map.value.touch_report,
                       "one look at the touch report takes ");
    }
    void operator()(const SweepStep& step) const {
        const auto& map = desk_.map.value;
        if (!map.position || !desk_.map.document.sound("position") ||
            !desk_.map.document.sound("key"))
            return;
        const double full = map.position->full;
        above("non_linearity", 100.0 / full * resolution_floor,
              "the track is told in " + rounded(full) + " steps");
        double longest = 0.0;
        for (const auto& key : map.keys)
            if (has_position(key.kind) &&
                (step.keys.empty() ||
                 std::count(step.keys.begin(), step.keys.end(), key.name) != 0))
                longest = std::max(longest, track_length(key));
        above("position_error", longest / full * resolution_floor,
              "one step of the reported position is " + rounded(longest / full) + " mm");
    }

  private:
    static double track_length(const Key& key) {
        return key.kind == KeyKind::wheel ? 2.0 * std::numbers::pi * wheel_radius(key).value()
                                          : key.width.value();
    }
    [[nodiscard]] bool fixture_known() const { return desk_.fixture.document.sound("equipment"); }
    // One count, as a share of what the largest of the references makes on a nominal unit.
    [[nodiscard]] double percent_of(const std::vector<std::string>& references) const {
        const auto tips = tips_of(desk_.fixture.value, references);
        const double change = (desk_.map.value.nominal_gain * tips.largest_step).value();
        return change > 0.0 && desk_.map.document.sound("trims") ? 100.0 * resolution_floor / change
                                                                 : 0.0;
    }
    [[nodiscard]] std::optional<Limit> limit(std::string_view key) const {
        const auto* check = check_with_limit(declaration_of(placed_.body), key);
        if (check == nullptr || !placed_.holds(key)) return std::nullopt;
        if (!desk_.recipe.document.sound(placed_.path(key))) return std::nullopt;
        return limit_of(placed_.body, check->name);
    }
    void too_fine(std::string_view key, const std::string& finest) const {
        desk_.recipe.document.complain(placed_.path(key),
                                       "this limit is finer than can be resolved: " + finest,
                                       "Widen it; no unit could be shown to pass.");
    }
    void width(std::string_view key, double floor, const std::string& finest) const {
        const auto found = limit(key);
        if (found && width_of(*found) < floor) too_fine(key, finest);
    }
    // The upper end of what cannot be negative.
    void above(std::string_view key, double floor, const std::string& finest) const {
        const auto found = limit(key);
        if (found && found->high && *found->high > 0.0 && *found->high < floor)
            too_fine(key, finest);
    }
    void above_exchange(std::string_view key, const Register& asked,
                        const std::string& what) const {
        const auto& nests = desk_.fixture.value.nests;
        if (nests.empty() || nests.front().port.tcp || !desk_.fixture.document.sound("nest") ||
            !desk_.fixture.document.sound("line") || !desk_.map.document.sound("scan") ||
            !desk_.map.document.sound("identity"))
            return;
        const double time = asking_time(desk_.map.value, nests.front().port.line, asked).value();
        above(key, time, what + rounded(time) + " ms on the unit's port");
    }
    void distances(double interval) const {
        const std::string finest = "heights are looked for to " + rounded(interval) + " mm";
        width("operating_distance", interval, finest);
        width("differential_travel", interval, finest);
        for (const char* key : {"operating_distance", "differential_travel"}) {
            const auto found = limit(key);
            if (found && found->high && *found->high < interval) too_fine(key, finest);
        }
    }
    // Counts that the reading's register cannot hold.
    void held(std::string_view key, double scale) const {
        if (desk_.map.document.sound("scan.raw"))
            range(key, range_of(desk_.map.value.raw_counts.cell), scale, "counts");
    }
    void range(std::string_view key, HeldRange cell, double scale, std::string_view unit) const {
        const auto found = limit(key);
        if (!found || cell.high <= 0.0) return;
        const bool beyond = found->low && *found->low > cell.high * scale;
        if (!beyond && !(found->high && *found->high < cell.low * scale)) return;
        desk_.recipe.document.complain(placed_.path(key),
                                       "no unit can be within this limit: its register tells " +
                                           rounded(cell.low * scale) + " to " +
                                           document::quantity_text(cell.high * scale, unit),
                                       "Check the limit, and the register map.");
    }
    // The largest change that a reading can show over the least noise that it can.
    void reachable_signal() const {
        const auto found = limit("signal_to_noise");
        const double most = range_of(desk_.map.value.raw_counts.cell).high / resolution_floor;
        if (!found || !found->low || *found->low <= most || most <= 0.0 ||
            !desk_.map.document.sound("scan.raw"))
            return;
        desk_.recipe.document.complain(
            placed_.path("signal_to_noise"),
            "no product can reach this: whole counts tell at most " + rounded(most),
            "Check the limit, and the register map.");
    }
    // Standard uncertainties that guarded acceptance takes off each side at least: normal quantiles
    // of risks not below the consumer's. A limit not wider than both holds nothing.
    [[nodiscard]] double guards() const {
        struct Quantile {
            double risk, deviations;
        };
        constexpr Quantile known[] = {
            {0.001, 3.0902}, {0.01, 2.3263}, {0.025, 1.9599}, {0.05, 1.6448}, {0.1586, 1.0}};
        const auto& decision = desk_.recipe.value.decision;
        if (decision.kind != DecisionKind::guarded) return 0.0;
        for (const auto& each : known)
            if (decision.consumer_risk <= each.risk) return each.deviations;
        return 0.0;
    }
    void provable(std::string_view key, double standard, const std::string& what,
                  std::string_view unit) const {
        const auto found = limit(key);
        if (found && width_of(*found) <= 2.0 * guards() * standard)
            too_fine(key, what + " alone is " + rounded(standard) + " " + std::string(unit) +
                              " (k = 1)");
    }
    // The best known of all tips: what is certain of every unit.
    void fixture_part_width(std::string_view key) const {
        double least = INFINITY;
        for (const auto& part : desk_.fixture.value.equipment.fixture_parts)
            least = std::min(least, part.expanded_uncertainty.value() / part.coverage_factor);
        if (std::isfinite(least) && desk_.map.document.sound("trims"))
            provable(key, least * desk_.map.value.nominal_gain.value(),
                     "the uncertainty of the fixture's part", "counts");
    }
    void held_out_width(const VerifyStep& step) const {
        const auto& equipment = desk_.fixture.value.equipment;
        double least = INFINITY;
        for (const auto& each : equipment.steps) {
            if (each.reference != step.reference || each.value.value() <= 0.0) continue;
            const double own = each.expanded_uncertainty / (each.coverage_factor * each.value);
            // Open and closed are both rounded twice, by the product and by its correction.
            const double counts = (desk_.map.value.nominal_gain * each.value).value();
            const double rounding = counts > 0.0 ? 2.0 * resolution_floor / counts : 0.0;
            least = std::min(least, std::hypot(own, equipment.definition_relative, rounding));
        }
        if (std::isfinite(least) && desk_.map.document.sound("trims"))
            provable("gain_error", 100.0 * least, "the uncertainty of the held-out reference", "%");
    }
    void gain_width(const GainOffsetStep& fit) const {
        const auto found = limit("gain");
        const auto tips = tips_of(desk_.fixture.value, fit.references);
        if (!found || !found->low || tips.largest_step.value() <= 0.0) return;
        const double step = 1.0 / tips.largest_step.value();
        if (width_of(*found) < step * resolution_floor)
            return too_fine(
                "gain", "one count over the largest reference is " + rounded(step) + " counts/pF");
        provable("gain", tips.common_relative * *found->low, "the references' common uncertainty",
                 "counts/pF");
    }

    Desk desk_;
    const PlacedLimits& placed_;
};

}  // namespace

void check_resolution(Desk desk) {
    const auto& recipe = desk.recipe;
    for (std::size_t i = 0; i < recipe.value.steps.size(); ++i)
        if (recipe.document.sound(item_path("step", i, "do")))
            for (const auto& placed : limits_in(recipe.value.steps[i], i))
                std::visit(ResolutionCheck(desk, placed), placed.body);
}

}  // namespace padtrim::language
