#include <charconv>
#include <cmath>
#include <cstdio>

#include "recipes/document/toml.hpp"

namespace padtrim::document {
namespace {

bool is_table(const Node& node) {
    return std::holds_alternative<Table>(node.value);
}

std::string in_quotes(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out += {'\\', c};
        } else if (byte < 0x20 || byte == 0x7F) {
            char escape[8];
            std::snprintf(escape, sizeof escape, "\\u%04X", static_cast<unsigned>(byte));
            out += escape;
        } else {
            out += c;
        }
    }
    return out + '"';
}

bool bare(const std::string& key) {
    return !key.empty() &&
           key.find_first_not_of(
               "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") ==
               std::string::npos;
}

std::string key_text(const std::string& key) {
    return bare(key) ? key : in_quotes(key);
}

std::string value_text(const Node& node);

std::string inline_table(const Table& table) {
    std::string out;
    for (const auto& entry : table)
        out += (out.empty() ? "" : ", ") + key_text(entry.key) + " = " + value_text(entry.node);
    return "{ " + out + " }";
}

std::string list_text(const List& list) {
    const bool tables = !list.empty() && is_table(list.front());
    std::string out = "[";
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (i > 0) out += ',';
        if (tables) out += "\n    ";
        if (!tables && i > 0) out += ' ';
        out += value_text(list[i]);
    }
    return out + (tables ? ",\n]" : "]");
}

// A real keeps a point, so that it reads back as a real.
std::string real_text(double value) {
    std::string text = number_text(value);
    return text.find_first_of(".en") == std::string::npos ? text + ".0" : text;
}

struct ValueText {
    std::string operator()(bool flag) const { return flag ? "true" : "false"; }
    std::string operator()(std::int64_t whole) const { return std::to_string(whole); }
    std::string operator()(double real) const { return real_text(real); }
    std::string operator()(const std::string& text) const { return in_quotes(text); }
    std::string operator()(const Date& date) const { return date.text; }
    std::string operator()(const TimeOfDay&) const { return "00:00:00"; }  // never written
    std::string operator()(const List& list) const { return list_text(list); }
    std::string operator()(const Table& table) const { return inline_table(table); }
};

std::string value_text(const Node& node) {
    return std::visit(ValueText{}, node.value);
}

void section(std::string& out, const Table& table, const std::string& path) {
    for (const auto& entry : table)
        if (!is_table(entry.node))
            out += key_text(entry.key) + " = " + value_text(entry.node) + '\n';
    for (const auto& entry : table) {
        const auto* below = std::get_if<Table>(&entry.node.value);
        if (below == nullptr) continue;
        const std::string name = (path.empty() ? "" : path + '.') + key_text(entry.key);
        out += "\n[" + name + "]\n";
        section(out, *below, name);
    }
}

}  // namespace

std::string toml_text(const Node& root) {
    std::string out;
    if (const auto* table = std::get_if<Table>(&root.value)) section(out, *table, "");
    return out;
}

std::string line_of(const std::string& text, int number) {
    std::size_t begin = 0;
    for (int line = 1; line < number; ++line) {
        begin = text.find('\n', begin);
        if (begin == std::string::npos) return {};
        ++begin;
    }
    std::string line = text.substr(begin, text.find('\n', begin) - begin);
    if (!line.empty() && line.back() == '\r') line.pop_back();
    return line;
}

std::string number_text(double value) {
    char buffer[64];
    // Plain digits where a person would write them.
    const double size = std::abs(value);
    const bool plain = size == 0.0 || (size >= 1e-6 && size < 1e10);
    const auto end =
        plain ? std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed).ptr
              : std::to_chars(buffer, buffer + sizeof buffer, value).ptr;
    return {buffer, end};
}

}  // namespace padtrim::document
