// One document under reading: its tree, its texts for messages, and what is wrong with it.
//
// Problems are collected, never thrown, up to two hundred of them. Each belongs to a path, so that
// a later check can ask whether what it looks at was read at all and keep quiet when it was not.
// A document may be made of several texts (a recipe and the ones it is based on); each problem
// stands in the text that its place belongs to. Single thread; the document owns its texts.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "recipes/document/diagnostic.hpp"
#include "recipes/document/node.hpp"

namespace padtrim::document {

class Document {
  public:
    Document(std::string file, std::string text);  // parses

    [[nodiscard]] const Node& root() const { return root_; }
    [[nodiscard]] const std::string& file() const { return sources_.front().file; }

    // Another text, parsed; its places say so. Nothing when it is not TOML, and that is a problem
    // of the document.
    [[nodiscard]] std::optional<Node> add_source(std::string file, std::string text);
    // The tree from now on; its places keep the texts they came from.
    void replace_root(Node root) { root_ = std::move(root); }

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
        Place place;
        Diagnostic diagnostic;
    };
    struct Source {
        std::string file, text;
        std::vector<std::size_t> line_begins;
    };
    [[nodiscard]] Node parse(std::string file, std::string text);
    [[nodiscard]] std::string source_line(Place place) const;

    std::vector<Source> sources_;
    Node root_;
    std::vector<Complaint> complaints_;
    std::vector<std::string> mistrusted_;
    bool given_up_ = false;
};

}  // namespace padtrim::document
