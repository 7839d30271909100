// Steps in which height, speed and path matter, against what fixture and product have.
#include <algorithm>

#include "recipes/document/nearest.hpp"
#include "recipes/document/quantity_text.hpp"
#include "recipes/language/check_together.hpp"
#include "recipes/language/paths.hpp"

namespace padtrim::language {
namespace {

// A way that lasts longer could not be ended in time when it has to be.
constexpr double longest_crossing_s = 15.0;

class FingerStepCheck {
  public:
    FingerStepCheck(Desk desk, std::size_t index) : desk_(desk), index_(index) {}

    template <class Body>
    void operator()(const Body&) const {}
    void operator()(const ApproachStep& step) const {
        check_height("from", step.from);
        if (step.interval >= step.from)
            complain("interval", "no height lies between the highest look and the surface",
                     "Write an interval below from.");
    }
    void operator()(const ResponseStep& step) const {
        check_height("from", step.from);
        check_speed(step.speed, &Finger::approach_speed, "descends at ");
        check_curve_before();
    }
    void operator()(const SlowApproachStep& step) const {
        check_height("from", step.from);
        check_speed(step.speed, &Finger::approach_speed, "descends at ");
    }
    void operator()(const ProximityStep& step) const {
        check_target(step.target, TargetKind::conductive);
        check_swings(step.target);
        check_height("from", step.from + thickness_of(step.target));
        check_lift(step.target);
        if (step.height >= step.from)
            complain("height", "the response counts from a look that is not above it",
                     "Write a height below from.");
        check_kinds(step.keys, "proximity pad", [](KeyKind k) { return k == KeyKind::proximity; });
    }
    void operator()(const SweepStep& step) const {
        check_kinds(step.keys, "slider or wheel", has_position);
        if (!desk_.map.value.position && desk_.map.document.sound("position"))
            complain("", "the product does not tell positions",
                     "Add [position] to the register map, or leave the step out.");
    }
    void operator()(const HoverStep& step) const {
        check_target(step.target, TargetKind::conductive);
        check_swings(step.target);
        const Millimetre high = step.height + thickness_of(step.target);
        check_height("height", high);
        check_speed(step.speed, &Finger::travel_speed, "moves sideways at ");
        check_crossing(step.speed);
        const auto& finger = desk_.fixture.value.finger;
        if (finger && finger->surface_height + high < finger->safe_height)
            complain("height",
                     "the finger moves sideways at or above its safe height only, which is " +
                         document::quantity_text(
                             (finger->safe_height - finger->surface_height).value(), "mm") +
                         " above the surface",
                     "Write a larger height.");
    }
    void operator()(const WetPanelStep& step) const {
        check_target(step.target, TargetKind::water);
        if (step.placed_by == PlacedBy::finger) check_swings(step.target);
    }

  private:
    void complain(std::string_view key, std::string message, std::string mend) const {
        const auto path =
            key.empty() ? item_path("step", index_) : item_path("step", index_, std::string(key));
        if (desk_.recipe.document.sound(path))
            desk_.recipe.document.complain(path, std::move(message), std::move(mend));
    }
    [[nodiscard]] Millimetre thickness_of(const std::string& name) const {
        const auto* target = desk_.fixture.value.target(name);
        return target != nullptr ? target->thickness : Millimetre(0.0);
    }
    void check_height(std::string_view key, Millimetre height) const {
        const auto& finger = desk_.fixture.value.finger;
        if (!finger || !desk_.fixture.document.sound("finger")) return;
        const Millimetre room = finger->travel_z - finger->surface_height;
        if (height <= room) return;
        complain(key,
                 "this lies above the finger's travel, which ends " +
                     document::quantity_text(room.value(), "mm") + " above the surface",
                 "Write a smaller height, or use a fixture with a longer travel.");
    }
    void check_crossing(MillimetrePerSecond speed) const {
        const double seconds = desk_.map.value.panel_width.value() / speed.value();
        if (seconds <= longest_crossing_s || !desk_.map.document.sound("panel")) return;
        complain("speed",
                 "this takes " + document::rounded(seconds) + " s across the panel; at most " +
                     document::rounded(longest_crossing_s) + " s can be broken off in time",
                 "Write a larger speed.");
    }
    // Looks for the operating distance begin with the target's face where the tip is safe.
    void check_lift(const std::string& name) const {
        const auto& finger = desk_.fixture.value.finger;
        if (!finger || !desk_.fixture.document.sound("finger")) return;
        if (finger->safe_height + thickness_of(name) <= finger->travel_z) return;
        complain("target", "the finger's travel ends before " + in_quotes(name) + " is lifted away",
                 "Use a thinner target, or a fixture with a longer travel.");
    }
    void check_speed(MillimetrePerSecond speed, MillimetrePerSecond Finger::*most,
                     const std::string& how) const {
        const auto& finger = desk_.fixture.value.finger;
        if (!finger || !desk_.fixture.document.sound("finger") || speed <= (*finger).*most) return;
        complain("speed",
                 "the fixture's finger " + how +
                     document::quantity_text(((*finger).*most).value(), "mm/s") + " at most",
                 "Write a smaller speed.");
    }
    void check_target(const std::string& name, TargetKind kind) const {
        if (name.empty() || !desk_.fixture.document.sound("target")) return;
        const auto* target = desk_.fixture.value.target(name);
        std::vector<std::string_view> names;
        for (const auto& each : desk_.fixture.value.targets)
            if (each.kind == kind) names.push_back(each.name);
        if (target == nullptr)
            complain("target", "the fixture has no target " + in_quotes(name),
                     names.empty()
                         ? "Describe it as a [[target]] in " + desk_.fixture.document.file() + '.'
                         : document::suggestion(name, names));
        else if (target->kind != kind)
            complain("target",
                     in_quotes(name) + (kind == TargetKind::water ? " is a plate and holds no water"
                                                                  : " is a water phantom"),
                     document::suggestion(name, names));
    }
    // A person's hand has no business at a finger that moves.
    void check_swings(const std::string& name) const {
        const auto* target = desk_.fixture.value.target(name);
        if (target == nullptr || target->coil || !desk_.fixture.document.sound("target")) return;
        complain("target", "nothing swings " + in_quotes(name) + " in front of the finger",
                 "Give it a coil in the fixture profile, or leave the step out.");
    }
    template <class Wanted>
    void check_kinds(const std::vector<std::string>& chosen, const std::string& what,
                     Wanted wanted) const {
        if (!desk_.map.document.sound("key")) return;
        bool any = false;
        for (const auto& key : desk_.map.value.keys) {
            const bool named = std::count(chosen.begin(), chosen.end(), key.name) != 0;
            any = any || wanted(key.kind);
            if (named && !wanted(key.kind))
                complain("keys", "key " + in_quotes(key.name) + " is no " + what,
                         "Name keys of that kind only.");
        }
        if (!any && chosen.empty())
            complain("", "the product has no " + what, "Leave the step out.");
    }
    void check_curve_before() const {
        const auto& steps = desk_.recipe.value.steps;
        for (std::size_t i = 0; i < index_; ++i)
            if (std::holds_alternative<ApproachStep>(steps[i].body)) return;
        complain("", "no approach curve is taken before, so the operating distance is not known",
                 "Put a step do = \"approach curve\" before it.");
    }

    Desk desk_;
    std::size_t index_;
};

}  // namespace

void check_finger_steps(Desk desk) {
    for (std::size_t i = 0; i < desk.recipe.value.steps.size(); ++i)
        if (desk.recipe.document.sound(item_path("step", i)))
            std::visit(FingerStepCheck(desk, i), desk.recipe.value.steps[i].body);
}

}  // namespace padtrim::language
