// One document under reading: its tree, its text for messages, and what is wrong with it.
//
// Problems are collected, never thrown, up to two hundred of them. Each belongs to a path, so that
// a later check can ask whether what it looks at was read at all and keep quiet when it was not.
// Single thread; the document owns its text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "recipes/document/node.hpp"

namespace padtrim::document {

class Document {
  public:
    Document(std::string file, std::string text);  // parses

    [[nodiscard]] const Node& root() const { return root_; }
    [[nodiscard]] const std::string& file() const { return file_; }

    // At the value of a path, or at the nearest one above it that exists.
    void complain(const std::string& path, std::string message, std::string mend);
    void complain_at(Place place, const std::string& path, std::string message, std::string mend);

    // What stands at this path was not read, and somebody has said why already.
    void mistrust(const std::string& path) { mistrusted_.push_back(path); }
    // Nothing of this document can be relied on: no path is sound from now on.
    void give_up() { given_up_ = true; }

    // No problem at this path, below it, or at a table above it.
    [[nodiscard]] bool sound(std::string_view path) const;
    // No more problems are taken.
    [[nodiscard]] bool full() const;
    [[nodiscard]] bool clean() const { return complaints_.empty(); }
    // In the order of the document.
    [[nodiscard]] std::vector<Diagnostic> diagnostics() const;

  private:
    struct Complaint {
        std::string path;
        Diagnostic diagnostic;
    };
    [[nodiscard]] std::string source_line(int number) const;

    std::string file_, text_;
    std::vector<std::size_t> line_begins_;
    Node root_;
    std::vector<Complaint> complaints_;
    std::vector<std::string> mistrusted_;
    bool given_up_ = false;
};

}  // namespace padtrim::document
