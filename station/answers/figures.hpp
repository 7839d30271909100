// Numbers as people read them. One place, so that screen, report and log print a value alike. Pure.
#pragma once

#include <chrono>
#include <optional>
#include <string>

namespace padtrim::answers {

// "812.4(6)": the value with its standard uncertainty in the last digits (GUM 7.2.2, form 2). One
// digit of uncertainty, or two while they read 10 to 35, so that rounding never costs more than a
// seventh of it. Without an uncertainty the value stands alone.
[[nodiscard]] std::string concise(double value, double standard_uncertainty);

// Said once where such values stand.
inline constexpr const char* notation_words =
    "40(11): 40 with a standard uncertainty of 11, in the last digits.";

// "at least 250", "at most 5", "380 to 430", or "" without a limit.
[[nodiscard]] std::string allowed(std::optional<double> low, std::optional<double> high);

// " counts" to stand after a figure; "" where the unit is 1.
[[nodiscard]] std::string unit_after(const std::string& unit);

// "0.4 s", "9 s", "2 min 5 s", "1 h 20 min".
[[nodiscard]] std::string lasting(std::chrono::milliseconds time);

// "75.0 %".
[[nodiscard]] std::string percent(double part);

// For paper: a hyphen before a figure as a minus (U+2212). Files keep the hyphen.
[[nodiscard]] std::string with_minus(const std::string& text);

// "1 unit", "3 units".
[[nodiscard]] std::string counted(std::size_t count, const std::string& noun);

}  // namespace padtrim::answers
