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

// "at least 250", "at most 5", "380 to 430", or "" without a limit.
[[nodiscard]] std::string allowed(std::optional<double> low, std::optional<double> high);

// "0.4 s", "9 s", "2 min 5 s", "1 h 20 min".
[[nodiscard]] std::string lasting(std::chrono::milliseconds time);

// "75.0 %".
[[nodiscard]] std::string percent(double part);

// "1 unit", "3 units".
[[nodiscard]] std::string counted(std::size_t count, const std::string& noun);

}  // namespace padtrim::answers
