// What CLI11's own validators let through.
#pragma once

#include <cmath>
#include <string>

#include <CLI/CLI.hpp>

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

}  // namespace padtrim::cli
