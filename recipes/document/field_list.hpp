// Fields as rows of a reference: key, form, default, meaning.
//
// Given a fresh value, so that what stands in it is the default. Tables of one named shape (a
// register, say) are explained once.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "recipes/document/fields.hpp"

namespace padtrim::document {

struct FieldRow {
    std::string key;      // "limits.gain", "nest[].port"
    std::string form;     // "quantity in pF", "whole number 1 to 4096", ...
    std::string initial;  // default; "" when there is none
    std::string meaning;
    bool required = true;
};

struct FieldTable {
    std::vector<FieldRow> rows;
    std::map<std::string, std::vector<FieldRow>> shapes;
};

[[nodiscard]] FieldTable list_fields(const Fields::Describe& describe);

}  // namespace padtrim::document
