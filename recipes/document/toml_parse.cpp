#include <algorithm>

#include <toml++/toml.h>

#include "recipes/document/toml.hpp"

namespace padtrim::document {
namespace {

// A longer line is no document of ours; it also bounds how deep dotted keys can nest.
constexpr std::size_t longest_line = 8192;

Place place_of(const toml::source_region& region) {
    return {std::max(1, static_cast<int>(region.begin.line)),
            std::max(1, static_cast<int>(region.begin.column))};
}

std::string two_digits(unsigned value) {
    return (value < 10 ? "0" : "") + std::to_string(value);
}

std::string date_text(const toml::date& date) {
    std::string year = std::to_string(date.year);
    year.insert(0, year.size() < 4 ? 4 - year.size() : 0, '0');
    return year + '-' + two_digits(date.month) + '-' + two_digits(date.day);
}

Node node_of(const toml::node& from);

Table table_of(const toml::table& from) {
    Table table;
    for (const auto& [key, value] : from)
        table.push_back({std::string(key.str()), place_of(key.source()), node_of(value)});
    std::stable_sort(table.begin(), table.end(),
                     [](const Entry& a, const Entry& b) { return a.place < b.place; });
    return table;
}

List list_of(const toml::array& from) {
    List list;
    for (const auto& item : from) list.push_back(node_of(item));
    return list;
}

Node node_of(const toml::node& from) {
    Node node;
    node.place = place_of(from.source());
    if (const auto* table = from.as_table()) {
        node.value = table_of(*table);
    } else if (const auto* array = from.as_array()) {
        node.value = list_of(*array);
    } else if (const auto* text = from.as_string()) {
        node.value = text->get();
    } else if (const auto* whole = from.as_integer()) {
        node.value = whole->get();
    } else if (const auto* real = from.as_floating_point()) {
        node.value = real->get();
    } else if (const auto* flag = from.as_boolean()) {
        node.value = flag->get();
    } else if (const auto* date = from.as_date()) {
        node.value = Date{date_text(date->get())};
    } else {
        node.value = TimeOfDay{};
    }
    return node;
}

Diagnostic problem(const std::string& text, const std::string& file, Place place,
                   std::string message, std::string mend) {
    return {file,
            place.line,
            place.column,
            std::move(message),
            std::move(mend),
            line_of(text, place.line)};
}

// Line number of the first line that is too long; 0 when there is none.
int overlong_line(const std::string& text) {
    int number = 1;
    for (std::size_t begin = 0; begin < text.size(); ++number) {
        const auto end = std::min(text.find('\n', begin), text.size());
        if (end - begin > longest_line) return number;
        begin = end + 1;
    }
    return 0;
}

}  // namespace

Parsed parse_toml(const std::string& text, const std::string& file) {
    Parsed parsed{{Table{}, {}}, {}};
    if (const int line = overlong_line(text); line != 0) {
        parsed.problems.push_back({file, line, 1, "this line is longer than 8192 characters",
                                   "Break the list over several lines.", ""});
        return parsed;
    }
    try {
        parsed.root = node_of(toml::parse(text));
        parsed.root.place = {};
    } catch (const toml::parse_error& error) {
        parsed.problems.push_back(
            problem(text, file, place_of(error.source()),
                    "this is not TOML: " + std::string(error.description()),
                    "Texts stand in double quotes, lists in [ ], and each key once in its table."));
    }
    return parsed;
}

}  // namespace padtrim::document
