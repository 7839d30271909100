// C99 text of a register's get and put, and of the correction. Internal to unit_header. Pure.
#pragma once

#include <string>

#include "recipes/language/register_map.hpp"

namespace padtrim::answers {

// `name`_get(image, index) and `name`_put(image, index, value) of a whole number's cell.
[[nodiscard]] std::string accessors_in_c(const language::Register& where, const std::string& name,
                                         unsigned stride);

// `lower`_correct(raw, gain, offset) and the tests whether a trim is allowed.
[[nodiscard]] std::string correction_in_c(const language::RegisterMap& map,
                                          const std::string& lower, const std::string& upper);

}  // namespace padtrim::answers
