#include "station/answers/reference_values.hpp"

#include <charconv>
#include <cmath>
#include <sstream>
#include <vector>

#include "station/answers/printable.hpp"

namespace padtrim::answers {
namespace {

// RFC 4180 within one line.
std::vector<std::string> cells_of_line(const std::string& line) {
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
            cells.back() += line[++i];
        } else if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            cells.emplace_back();
        } else {
            cells.back() += c;
        }
    }
    return cells;
}

std::string stripped(const std::string& text) {
    const auto begin = text.find_first_not_of(" \t\r");
    if (begin == std::string::npos) return "";
    return text.substr(begin, text.find_last_not_of(" \t\r") - begin + 1);
}

std::optional<double> finite_number(const std::string& text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

// "" or what is wrong with the line.
std::string take_line(const std::string& line, ReferenceValues& values) {
    auto cells = cells_of_line(line);
    for (auto& cell : cells) cell = stripped(cell);
    if (cells.size() < 2 || cells.size() > 3 || cells.front().empty())
        return "has to be serial,value or serial,key,value";
    const auto value = finite_number(cells.back());
    if (!value) return "has '" + printable(cells.back(), 40) + "' for a value, which is no number";
    const std::string key = cells.size() == 3 ? cells[1] : "";
    if (values.knows(cells.front(), key))
        return "gives a second value for " + printable(cells.front(), 60);
    values.add(cells.front(), key, *value);
    return "";
}

}  // namespace

std::optional<double> ReferenceValues::of(const std::string& serial, const std::string& key) const {
    auto at = values_.find({serial, key});
    if (at == values_.end()) at = values_.find({serial, ""});
    if (at == values_.end()) return std::nullopt;
    return at->second;
}

ReferencesRead read_references(const std::string& csv) {
    ReferencesRead read;
    std::istringstream lines(csv);
    std::string line;
    for (std::size_t place = 1; std::getline(lines, line); ++place) {
        const std::string told = stripped(line);
        if (told.empty() || told.front() == '#') continue;
        if (read.values.size() == 0 && (told == "serial,value" || told == "serial,key,value"))
            continue;
        const std::string wrong = take_line(told, read.values);
        if (wrong.empty()) continue;
        read.problem = "Line " + std::to_string(place) + " " + wrong + ".";
        return read;
    }
    if (read.values.size() == 0)
        read.problem = "There is no reference value in it: a line is serial,value.";
    return read;
}

}  // namespace padtrim::answers
