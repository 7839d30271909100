// Where on a key the finger goes: along a slider's width, around a wheel, else to the middle. Pure.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "recipes/language/register_map.hpp"

namespace padtrim::language {

struct PanelPlace {
    PanelPlace() = default;
    PanelPlace(Millimetre at_x, Millimetre at_y) : x(at_x), y(at_y) {}
    Millimetre x, y;
    friend bool operator==(const PanelPlace&, const PanelPlace&) = default;
};

// A wheel's track runs at this part of its width, about its centre.
inline constexpr double wheel_radius_part = 0.35;
[[nodiscard]] inline Millimetre wheel_radius(const Key& key) {
    return wheel_radius_part * key.width;
}

// `part` 0 to 1: from a slider's left end to its right one, or one turn against the clock that
// begins at the wheel's right.
[[nodiscard]] inline PanelPlace on_track(const Key& key, double part) {
    if (key.kind == KeyKind::slider) return {key.x + (part - 0.5) * key.width, key.y};
    if (key.kind != KeyKind::wheel) return {key.x, key.y};
    const double angle = 2.0 * std::numbers::pi * part;
    return {key.x + std::cos(angle) * wheel_radius(key),
            key.y + std::sin(angle) * wheel_radius(key)};
}

// Where a touch of the whole key is made.
[[nodiscard]] inline PanelPlace touch_place(const Key& key) {
    return key.kind == KeyKind::wheel ? on_track(key, 0.0) : PanelPlace{key.x, key.y};
}

// The parts of the track that a sweep visits: between the middles of a slider's first and last
// electrodes, beyond which no product can tell places apart; all around a wheel.
[[nodiscard]] inline std::vector<double> sweep_parts(const Key& key, unsigned points) {
    std::vector<double> parts;
    const double margin =
        key.kind == KeyKind::slider ? 0.5 / static_cast<double>(key.channels.size()) : 0.0;
    const double steps = key.kind == KeyKind::slider ? points - 1.0 : points;
    for (unsigned i = 0; i < points; ++i)
        parts.push_back(margin + (1.0 - 2.0 * margin) * i / steps);
    return parts;
}

}  // namespace padtrim::language
