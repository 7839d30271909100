#include "recipes/document/node.hpp"

#include <charconv>

namespace padtrim::document {
namespace {

// Takes one leading "key" or "[2]" off the path and looks it up; null when there is none.
const Node* descend(const Node& node, std::string_view& path) {
    if (path.front() == '[') {
        const auto close = path.find(']');
        if (close == std::string_view::npos) return nullptr;
        std::size_t index = 0;
        std::from_chars(path.data() + 1, path.data() + close, index);
        path.remove_prefix(close + 1);
        const auto* list = std::get_if<List>(&node.value);
        return list != nullptr && index < list->size() ? &(*list)[index] : nullptr;
    }
    if (path.front() == '.') path.remove_prefix(1);
    const auto end = path.find_first_of(".[");
    const auto key = path.substr(0, end);
    path.remove_prefix(key.size());
    return node.find(key);
}

}  // namespace

const Node* Node::find(std::string_view key) const {
    const auto* table = std::get_if<Table>(&value);
    if (table == nullptr) return nullptr;
    for (const auto& entry : *table)
        if (entry.key == key) return &entry.node;
    return nullptr;
}

std::string_view Node::kind() const {
    static constexpr std::string_view names[] = {"true or false", "a whole number", "a number",
                                                 "a text",        "a date",         "a list",
                                                 "a table",       "a time of day"};
    return names[value.index()];
}

const Node& nearest_node(const Node& root, std::string_view path) {
    const Node* node = &root;
    while (!path.empty()) {
        const Node* below = descend(*node, path);
        if (below == nullptr) break;
        node = below;
    }
    return *node;
}

std::string path_below(const std::string& path, std::string_view key) {
    std::string below = path;
    if (!below.empty()) below += '.';
    return below.append(key);
}

std::string path_item(const std::string& path, std::size_t index) {
    return path + '[' + std::to_string(index) + ']';
}

bool path_within(std::string_view path, std::string_view above) {
    if (!path.starts_with(above)) return false;
    if (above.empty() || path.size() == above.size()) return true;
    return path[above.size()] == '.' || path[above.size()] == '[';
}

}  // namespace padtrim::document
