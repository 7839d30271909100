#include "recipes/document/document.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "recipes/document/toml.hpp"

namespace padtrim::document {

namespace {

// Nobody reads more of them, and telling them takes time and room.
constexpr std::size_t most_complaints = 200;

}  // namespace

namespace {

void stamp(Node& node, std::uint32_t source) {
    node.place.source = source;
    if (auto* list = std::get_if<List>(&node.value))
        for (auto& item : *list) stamp(item, source);
    if (auto* table = std::get_if<Table>(&node.value))
        for (auto& entry : *table) {
            entry.place.source = source;
            stamp(entry.node, source);
        }
}

std::vector<std::size_t> line_begins_of(const std::string& text) {
    std::vector<std::size_t> begins{0};
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] == '\n') begins.push_back(i + 1);
    return begins;
}

}  // namespace

Document::Document(std::string file, std::string text) {
    root_ = parse(std::move(file), std::move(text));
}

Node Document::parse(std::string file, std::string text) {
    const auto number = static_cast<std::uint32_t>(sources_.size());
    auto begins = line_begins_of(text);
    sources_.push_back({std::move(file), std::move(text), std::move(begins)});
    auto parsed = parse_toml(sources_.back().text, sources_.back().file);
    for (auto& problem : parsed.problems) {
        const Place place{problem.line, problem.column, number};
        complaints_.push_back({"", place, std::move(problem)});
    }
    if (number > 0) stamp(parsed.root, number);
    return std::move(parsed.root);
}

std::optional<Node> Document::add_source(std::string file, std::string text) {
    const std::size_t before = complaints_.size();
    Node root = parse(std::move(file), std::move(text));
    if (complaints_.size() != before) return std::nullopt;
    return root;
}

void Document::complain(const std::string& path, std::string message, std::string mend) {
    complain_at(nearest_node(root_, path).place, path, std::move(message), std::move(mend));
}

void Document::complain_at(Place place, const std::string& path, std::string message,
                           std::string mend) {
    if (full()) return;
    if (complaints_.size() == most_complaints) {
        message = "there are more problems than are told here";
        mend = "Mend the others first.";
        give_up();
    }
    complaints_.push_back({path,
                           place,
                           {sources_[place.source].file, place.line, place.column,
                            std::move(message), std::move(mend), source_line(place)}});
}

std::string Document::source_line(Place place) const {
    const auto& [file, text, begins] = sources_[place.source];
    const auto index = static_cast<std::size_t>(place.line) - 1;
    if (index >= begins.size()) return {};
    const auto end = index + 1 < begins.size() ? begins[index + 1] : text.size();
    return line_of(text.substr(begins[index], end - begins[index]), 1);
}

bool Document::full() const {
    return complaints_.size() > most_complaints;
}

bool Document::sound(std::string_view path) const {
    if (given_up_) return false;
    const auto touches = [path](const std::string& other) {
        return path_within(other, path) || path_within(path, other);
    };
    return std::none_of(complaints_.begin(), complaints_.end(),
                        [&](const Complaint& each) { return touches(each.path); }) &&
           std::none_of(mistrusted_.begin(), mistrusted_.end(), touches);
}

std::vector<Diagnostic> Document::diagnostics() const {
    const auto order = [](const Complaint* a, const Complaint* b) {
        return std::tuple(a->place.source, a->place.line, a->place.column) <
               std::tuple(b->place.source, b->place.line, b->place.column);
    };
    std::vector<const Complaint*> sorted;
    for (const auto& each : complaints_) sorted.push_back(&each);
    std::stable_sort(sorted.begin(), sorted.end(), order);
    std::vector<Diagnostic> all;
    for (const auto* each : sorted) all.push_back(each->diagnostic);
    return all;
}

}  // namespace padtrim::document
