#include "station/metrology/look_rule.hpp"

#include <algorithm>

#include "db/statistics/distributions.hpp"
#include "station/metrology/touch_sequence.hpp"

namespace padtrim::metrology {

namespace {

// Of each wrong decision where the recipe's rule states none.
constexpr double unguarded_risk = 0.025;
// The scatter is not known well at the first keys: ask for more before stopping than the verdict
// will, so that it does not come out undetermined.
constexpr double room_for_scatter = 1.25;

const language::TouchStep* touch_step(const language::Recipe& recipe, const std::string& name) {
    for (const language::Step& step : recipe.steps) {
        if (step.name == name) return std::get_if<language::TouchStep>(&step.body);
    }
    return nullptr;
}

}  // namespace

LookRule::LookRule(const language::TouchStep& body, const language::DecisionRule& decision,
                   const Limits& limits)
    : scans_(body.scans),
      looks_(std::max(1U, body.looks)),
      risk_a_look_((decision.kind == language::DecisionKind::guarded ? decision.consumer_risk
                                                                     : unguarded_risk) /
                   static_cast<double>(looks_)),
      limits_(limits) {}

LimitDecision LookRule::decided(const TouchReadings& readings, const Press& press,
                                std::size_t series, double room) const {
    const std::size_t part = std::max<std::size_t>(1, scans_ / looks_);
    const std::size_t taken = readings.scans_touched(press);
    for (std::size_t look = 1; look <= looks_ && look * part <= taken; ++look) {
        const Measured change = readings.change_after(press, series, look * part);
        const auto boundary = statistics::student_quantile(1.0 - risk_a_look_, change.degrees);
        const auto inside = distance_inside(change.value, limits_);
        if (!boundary || !inside || !(change.standard > 0.0)) return LimitDecision::undetermined;
        const double z = *inside / change.standard;
        if (z >= room * *boundary) return LimitDecision::inside;
        if (z <= -room * *boundary) return LimitDecision::outside;
    }
    return LimitDecision::undetermined;
}

bool LookRule::used_up(std::size_t scans) const {
    return scans >= scans_ / looks_ * looks_;
}

bool touch_decided(const language::Plan& plan, const language::EquipmentRecord& references,
                   const record::Observations& so_far, const std::string& step,
                   const std::string& key) {
    const language::TouchStep* body = touch_step(plan.recipe, step);
    const Case unit(plan, references, so_far);
    const language::Key* named = unit.key_named(key);
    if (!body || !named) return false;
    const TouchReadings readings(unit, step);
    const auto press = readings.known() ? readings.press_of(*named) : std::nullopt;
    if (!press) return false;
    for (std::size_t f = 0; f < unit.frequencies(); ++f) {
        const std::uint16_t channel = readings.strongest(*press, f);
        const std::size_t series = unit.series_of(channel, f);
        const LookRule rule(
            *body, rule_of(plan.recipe, step),
            unit.limits_at(step, "touch response", key, channel, limits_of(body->response)));
        const auto decision = rule.decided(readings, *press, series, room_for_scatter);
        if (decision == LimitDecision::undetermined) return false;
    }
    return true;
}

}  // namespace padtrim::metrology
