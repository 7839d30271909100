// What CLI11's own validators let through.
#pragma once

#include <cmath>
#include <string>

#include <CLI/CLI.hpp>

#include "station/answers/question_ranges.hpp"

namespace padtrim::cli {

// CLI::Range takes "nan" for a number between any two.
[[nodiscard]] inline CLI::Validator within(double low, double high) {
    const CLI::Range range(low, high);
    return CLI::Validator(
        [range](std::string& text) {
            double value = 0.0;
            if (CLI::detail::lexical_cast(text, value) && std::isnan(value))
                return "has to be a number, not " + text;
            return range(text);
        },
        range.get_description());
}

// std::optional<double> takes "nan" and "inf", with which nothing can be compared.
[[nodiscard]] inline CLI::Validator finite() {
    return CLI::Validator(
        [](std::string& text) {
            double value = 0.0;
            if (CLI::detail::lexical_cast(text, value) && !std::isfinite(value))
                return "has to be a finite number, not " + text;
            return std::string();
        },
        "");
}

[[nodiscard]] inline CLI::Validator within(const answers::NumberRange& range) {
    return within(range.low, range.high);
}
[[nodiscard]] inline CLI::Validator within(const answers::CountRange& range) {
    return CLI::Range(range.low, range.high);
}

}  // namespace padtrim::cli
