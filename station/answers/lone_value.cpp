#include "station/answers/lone_value.hpp"

#include <cmath>

#include <fmt/format.h>

#include "station/answers/printable.hpp"

namespace padtrim::answers {

std::optional<LoneValue> lone_value(const std::vector<ControlPoint>& values) {
    constexpr std::size_t few = 8;
    constexpr double most = 0.5;
    if (values.size() < few) return std::nullopt;
    const auto range = [&](std::size_t i) {
        return std::abs(values[i].value - values[i - 1].value);
    };
    double sum = 0.0;
    for (std::size_t i = 1; i < values.size(); ++i) sum += range(i);
    for (std::size_t i = 1; i + 1 < values.size(); ++i) {
        // A step gives one range only: the value has to come back.
        const double both = range(i) + range(i + 1);
        const double back = std::abs(values[i + 1].value - values[i - 1].value);
        if (both > most * sum && back < most * both / 2.0)
            return LoneValue{values[i].label, both / sum};
    }
    return std::nullopt;
}

std::string lone_value_words(const ControlAnswer& answer, const PlaceControl& place) {
    if (answer.kind != ControlKind::individuals || answer.baseline != 0 || place.frozen ||
        place.lines.empty())
        return "";
    const auto lone = lone_value(place.lines.front().points);
    if (!lone) return "";
    return fmt::format("{} alone makes {:.0f} % of the ranges that the limits are from: too wide",
                       printable(lone->label, 40), 100.0 * lone->share);
}

}  // namespace padtrim::answers
