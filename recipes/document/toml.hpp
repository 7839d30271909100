// TOML 1.0 to nodes and back. The only code that sees toml++.
#pragma once

#include <string>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "recipes/document/node.hpp"

namespace padtrim::document {

// A text that cannot be parsed gives one problem, where the parser gave up, and an empty root.
struct Parsed {
    Node root;
    std::vector<Diagnostic> problems;
};
[[nodiscard]] Parsed parse_toml(const std::string& text, const std::string& file);

// Canonical text of a table: values first, then its tables as [sections]; a list of tables has one
// inline table a line. Numbers are the shortest that read back as the same value.
[[nodiscard]] std::string toml_text(const Node& root);

// Line `number` (from 1) of a text, without its end; empty when there is none.
[[nodiscard]] std::string line_of(const std::string& text, int number);

// Shortest text that reads back as the same number.
[[nodiscard]] std::string number_text(double value);

}  // namespace padtrim::document
