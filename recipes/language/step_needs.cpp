#include "recipes/language/step_needs.hpp"

#include <algorithm>

#include "recipes/language/step_declarations.hpp"

namespace padtrim::language {

namespace {

// Members of any step that has them; steps agree on these names.
template <class Body>
concept HasReference = requires(const Body& body) {
    body.reference;
};
template <class Body>
concept HasReferences = requires(const Body& body) {
    body.references;
};
template <class Body>
concept HasKeys = requires(const Body& body) {
    body.keys;
};
template <class Body>
concept HasFingerSwitch = requires(const Body& body) {
    body.finger;
};

}  // namespace

NamedReferences references_of(const StepBody& body) {
    return std::visit(
        [](const auto& step) -> NamedReferences {
            using Body = std::decay_t<decltype(step)>;
            if constexpr (HasReferences<Body>) return {"references", step.references};
            if constexpr (HasReference<Body>) return {"reference", {step.reference}};
            return {};
        },
        body);
}

const std::vector<std::string>* chosen_keys(const StepBody& body) {
    return std::visit(
        [](const auto& step) -> const std::vector<std::string>* {
            using Body = std::decay_t<decltype(step)>;
            if constexpr (HasKeys<Body>) return &step.keys;
            return nullptr;
        },
        body);
}

namespace {

bool goes_to(const StepBody& body, const Key& key) {
    if (std::holds_alternative<VerifyStep>(body)) return true;
    const auto* named = chosen_keys(body);
    if (named == nullptr) return false;
    if (!named->empty()) return std::count(named->begin(), named->end(), key.name) != 0;
    if (std::holds_alternative<ProximityStep>(body)) return key.kind == KeyKind::proximity;
    return !std::holds_alternative<SweepStep>(body) || has_position(key.kind);
}

}  // namespace

std::vector<const Key*> touched_keys(const RegisterMap& map, const StepBody& body) {
    std::vector<const Key*> keys;
    for (const auto& key : map.keys)
        if (goes_to(body, key)) keys.push_back(&key);
    return keys;
}

FingerNeed finger_need(const StepBody& body) {
    return std::visit(
        [](const auto& step) -> FingerNeed {
            using Body = std::decay_t<decltype(step)>;
            if constexpr (HasFingerSwitch<Body>) return {step.finger, true};
            if constexpr (std::is_same_v<Body, WetPanelStep>)
                return {step.placed_by == PlacedBy::finger, false};
            return {HasKeys<Body> || std::is_same_v<Body, HoverStep>, false};
        },
        body);
}

bool is_of_finger(std::string_view check) {
    for (const StepDeclaration& step : step_declarations()) {
        const FingerNeed need = finger_need(step.initial);
        if (!need.needed || need.can_do_without) continue;
        for (const CheckDeclaration& each : step.checks)
            if (each.name == check) return true;
    }
    return false;
}

}  // namespace padtrim::language
