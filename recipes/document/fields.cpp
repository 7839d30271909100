#include "recipes/document/fields.hpp"

#include <cmath>

namespace padtrim::document {

void Fields::add(const Field& field, std::chrono::milliseconds& value, const Range& range) {
    auto number = static_cast<double>(value.count());
    quantity(field, number, units::Millisecond::symbol, range);
    if (number != std::floor(number)) {
        complain(field.key, "times are kept in whole milliseconds",
                 "Write " + quantity_text(std::ceil(number), "ms") + '.');
    }
    value = std::chrono::milliseconds(static_cast<std::int64_t>(number));
}

}  // namespace padtrim::document
