#include "station/answers/figures.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

namespace padtrim::answers {

std::string concise(double value, double standard_uncertainty) {
    const double u = standard_uncertainty;
    if (!std::isfinite(value) || !std::isfinite(u) || u <= 0.0) return fmt::format("{:.6g}", value);
    const int exponent = static_cast<int>(std::floor(std::log10(u)));
    const double lead = u / std::pow(10.0, exponent);
    const int last = std::max(exponent - (lead < 3.55 ? 1 : 0), -9);  // power of the last digit
    const double unit = std::pow(10.0, last);
    const double digits = std::round(u / unit);
    if (last >= 0) {
        return fmt::format("{:.0f}({:.0f})", std::round(value / unit) * unit, digits * unit);
    }
    return fmt::format("{:.{}f}({:.0f})", value, -last, digits);
}

std::string allowed(std::optional<double> low, std::optional<double> high) {
    if (low && high) return fmt::format("{:.6g} to {:.6g}", *low, *high);
    if (low) return fmt::format("at least {:.6g}", *low);
    if (high) return fmt::format("at most {:.6g}", *high);
    return "";
}

std::string unit_after(const std::string& unit) {
    return unit.empty() || unit == "1" ? "" : " " + unit;
}

std::string lasting(std::chrono::milliseconds time) {
    const long long ms = std::max<long long>(time.count(), 0);
    if (ms < 950) return fmt::format("{:.1f} s", static_cast<double>(ms) / 1000.0);
    const long long s = (ms + 500) / 1000;
    if (s < 60) return fmt::format("{} s", s);
    if (s < 3600) return fmt::format("{} min {} s", s / 60, s % 60);
    return fmt::format("{} h {} min", s / 3600, s % 3600 / 60);
}

std::string percent(double part) {
    return fmt::format("{:.1f} %", 100.0 * part);
}

std::string with_minus(const std::string& text) {
    std::string minused;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool begins =
            i == 0 || std::string_view(" \t(:;").find(text[i - 1]) != std::string_view::npos;
        const bool figure = i + 1 < text.size() && text[i + 1] >= '0' && text[i + 1] <= '9';
        minused +=
            text[i] == '-' && begins && figure ? std::string("\u2212") : std::string(1, text[i]);
    }
    return minused;
}

std::string counted(std::size_t count, const std::string& noun) {
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

}  // namespace padtrim::answers
