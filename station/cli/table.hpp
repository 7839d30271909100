// Columns of text, as wide as their widest cell. Pure.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "station/answers/printable.hpp"

namespace padtrim::cli {

enum class Side { left, right };

// The first row is the heading. Two blanks between columns, `indent` before the first.
[[nodiscard]] inline std::vector<std::string> table_lines(
    const std::vector<std::vector<std::string>>& rows, const std::vector<Side>& sides,
    std::size_t indent = 2) {
    std::vector<std::size_t> widths(sides.size(), 0);
    for (const auto& row : rows) {
        for (std::size_t i = 0; i < row.size(); ++i) {
            widths[i] = std::max(widths[i], answers::columns(row[i]));
        }
    }
    std::vector<std::string> lines;
    for (const auto& row : rows) {
        std::string line(indent, ' ');
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string blanks(widths[i] - answers::columns(row[i]), ' ');
            if (i > 0) line += "  ";
            line += sides[i] == Side::right ? blanks + row[i] : row[i] + blanks;
        }
        line.erase(line.find_last_not_of(' ') + 1);
        lines.push_back(std::move(line));
    }
    return lines;
}

}  // namespace padtrim::cli
