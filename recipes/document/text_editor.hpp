// A document's text with single values exchanged: every other character stays as it was.
//
// Places are those that Document read from the same text. Edits are collected, and made by text().
// Pure; the text outlives the editor.
#pragma once

#include <string>
#include <vector>

#include "recipes/document/node.hpp"

namespace padtrim::document {

class TextEditor {
  public:
    explicit TextEditor(const std::string& text);
    // A text in quotes, a number or a date, as it stands there; nothing for a null node.
    void replace(const Node* node, const std::string& with);
    // A line of its own behind this value's line.
    void add_behind(const Node& node, const std::string& line);
    [[nodiscard]] std::string text();

  private:
    struct Edit {
        std::size_t at = 0, length = 0;
        std::string text;
    };
    [[nodiscard]] std::size_t offset(Place place) const;
    [[nodiscard]] std::size_t end_of(std::size_t at) const;
    const std::string& text_;
    std::vector<std::size_t> begins_;
    std::vector<Edit> edits_;
};

}  // namespace padtrim::document
