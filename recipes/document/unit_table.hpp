// Unit names that documents may use, with their factor to the unit that the program keeps.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace padtrim::document {

// value in base = value * times / over; two factors, so that "2200 fF" is exactly 2.2 pF.
struct UnitName {
    std::string_view name, base;
    double times = 1.0, over = 1.0;
};

[[nodiscard]] const UnitName* find_unit(std::string_view name);  // null when not known
// All names that measure what `base` measures.
[[nodiscard]] std::vector<std::string_view> units_like(std::string_view base);

}  // namespace padtrim::document
