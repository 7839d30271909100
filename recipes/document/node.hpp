// A document as a tree of values with their places; what toml++ read, without toml++.
//
// Plain values. Tables keep the order of the document. A path names a node from the root, like
// "step[2].limits.gain"; indices count from 0.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace padtrim::document {

// `source` numbers the texts of a document that is made of several; 0 is its own.
struct Place {
    int line = 1, column = 1;
    std::uint32_t source = 0;
    friend auto operator<=>(const Place&, const Place&) = default;
};

struct Node;
struct Entry;
using List = std::vector<Node>;
using Table = std::vector<Entry>;

// A calendar day, "2026-03-31" (ISO 8601).
struct Date {
    std::string text;
    friend bool operator==(const Date&, const Date&) = default;
};

// A time of day, of a day or of none; no field of ours takes one.
struct TimeOfDay {
    friend bool operator==(const TimeOfDay&, const TimeOfDay&) = default;
};

struct Node {
    std::variant<bool, std::int64_t, double, std::string, Date, List, Table, TimeOfDay> value;
    Place place;

    [[nodiscard]] const Node* find(std::string_view key) const;  // null when not a table or absent
    // "a text", "a whole number", "a table", ... for messages.
    [[nodiscard]] std::string_view kind() const;
};

struct Entry {
    std::string key;
    Place place;  // of the key
    Node node;
};

// The node at a path, or the nearest one above it that exists.
[[nodiscard]] const Node& nearest_node(const Node& root, std::string_view path);

// Where a path leads: below "a", key "b" is "a.b", item 2 is "a[2]".
[[nodiscard]] std::string path_below(const std::string& path, std::string_view key);
[[nodiscard]] std::string path_item(const std::string& path, std::size_t index);
// Whether `path` is `above` or lies below it.
[[nodiscard]] bool path_within(std::string_view path, std::string_view above);

}  // namespace padtrim::document
