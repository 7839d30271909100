// Fields as rows of a reference: key, form, default, meaning. Given a fresh value, so that what
// stands in it is the default.
#pragma once

#include "recipes/document/fields.hpp"

namespace padtrim::document {

struct FieldRow {
    std::string key;      // "limits.gain", "nest[].port"
    std::string form;     // "quantity in pF", "whole number 1 to 4096", ...
    std::string initial;  // default; "" when the key is required
    std::string meaning;
    bool required = true;
};

[[nodiscard]] std::vector<FieldRow> list_fields(const Fields::Describe& describe);

}  // namespace padtrim::document
