#include "station/cli/fitted_table.hpp"

#include <numeric>
#include <optional>
#include <sstream>

namespace padtrim::cli {
namespace {

using Row = std::vector<std::string>;
using Widths = std::vector<std::size_t>;

constexpr std::size_t between = 2;      // columns, blanks
constexpr std::size_t highest_row = 3;  // lines of one that the eye still takes for one
constexpr std::size_t of_prose = 36;    // a column so wide reads as a paragraph, however high
constexpr std::size_t longest_whole_word = 32;
constexpr std::size_t widest_name = 28;  // of a column, in a block

// The text with blanks in words that are wider than a line.
std::string broken(const std::string& text, std::size_t width) {
    std::string result;
    std::size_t run = 0;
    for (const char c : text) {
        const bool begins = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (c == ' ') {
            run = 0;
        } else if (begins && ++run > width) {
            result += ' ';
            run = 1;
        }
        result += c;
    }
    return result;
}

Lines folded(const std::string& text, std::size_t width) {
    width = std::max<std::size_t>(width, 1);
    return wrapped(broken(text, width), width, text.size() + 1);
}

std::size_t longest_word(const std::string& text) {
    std::istringstream words(text);
    std::size_t longest = 0;
    for (std::string word; words >> word;) longest = std::max(longest, answers::columns(word));
    return std::min(longest, longest_whole_word);
}

// "85.7 % (48.7 to 97.4 %)": a number may stand above its interval, and is broken nowhere else.
std::size_t longest_number(const std::string& text) {
    const auto bracket = text.find(" (");
    if (bracket == std::string::npos) return answers::columns(text);
    return std::max(answers::columns(text.substr(0, bracket)),
                    answers::columns(text.substr(bracket + 1)));
}

std::size_t across(const Widths& widths) {
    return std::accumulate(widths.begin(), widths.end(), std::size_t{0}) +
           between * (widths.empty() ? 0 : widths.size() - 1);
}

class FittedTable {
  public:
    FittedTable(const std::vector<Row>& rows, const std::vector<Side>& sides, const Paper& paper)
        : rows_(rows), sides_(sides), paper_(paper) {
        for (std::size_t column = 0; column < sides.size(); ++column) measure(column);
    }

    [[nodiscard]] Lines lines() const {
        const auto widths = fitting();
        return widths && readable(*widths) ? in_columns(*widths) : stacked();
    }

  private:
    void measure(std::size_t column) {
        const auto& heading = rows_.front()[column];
        std::size_t cells = 0, parts = longest_word(heading);
        for (std::size_t i = 1; i < rows_.size(); ++i) {
            const auto& cell = rows_[i][column];
            cells = std::max(cells, answers::columns(cell));
            parts = std::max(
                parts, sides_[column] == Side::left ? longest_word(cell) : longest_number(cell));
        }
        widest_.push_back(std::max(cells, answers::columns(heading)));
        with_folded_heading_.push_back(std::max(cells, longest_word(heading)));
        least_.push_back(parts);
    }

    // Headings give way first, then the widest column, one blank at a time.
    [[nodiscard]] std::optional<Widths> fitting() const {
        Widths widths = widest_;
        for (const Widths* least : {&with_folded_heading_, &least_})
            while (across(widths) > paper_.width) {
                auto* widest = widest_above(widths, *least);
                if (widest == nullptr) break;
                --*widest;
            }
        if (across(widths) > paper_.width) return std::nullopt;
        return widths;
    }
    static std::size_t* widest_above(Widths& widths, const Widths& least) {
        std::size_t* widest = nullptr;
        for (std::size_t i = 0; i < widths.size(); ++i)
            if (widths[i] > least[i] && (widest == nullptr || widths[i] > *widest))
                widest = &widths[i];
        return widest;
    }

    [[nodiscard]] bool readable(const Widths& widths) const {
        for (const auto& row : rows_)
            for (std::size_t i = 0; i < widths.size(); ++i)
                if (widths[i] < of_prose && parts_of(row[i], i, widths[i]).size() > highest_row)
                    return false;
        return true;
    }

    [[nodiscard]] Lines parts_of(const std::string& cell, std::size_t column,
                                 std::size_t width) const {
        const auto bracket = cell.find(" (");
        const bool number = sides_[column] == Side::right && &cell != &rows_.front()[column];
        if (number && bracket != std::string::npos && answers::columns(cell) > width)
            return {cell.substr(0, bracket), cell.substr(bracket + 1)};
        return folded(cell, width);
    }

    [[nodiscard]] Lines in_columns(const Widths& widths) const {
        Lines all;
        for (std::size_t i = 0; i < rows_.size(); ++i)
            for (auto& line : row_lines(rows_[i], widths))
                all.push_back(i == 0 ? bold(line) : std::move(line));
        return all;
    }
    [[nodiscard]] Lines row_lines(const Row& row, const Widths& widths) const {
        std::vector<Lines> cells;
        std::size_t height = 1;
        for (std::size_t i = 0; i < widths.size(); ++i) {
            cells.push_back(answers::columns(row[i]) <= widths[i] ? Lines{row[i]}
                                                                  : parts_of(row[i], i, widths[i]));
            height = std::max(height, cells.back().size());
        }
        Lines all;
        for (std::size_t y = 0; y < height; ++y) {
            std::string line;
            for (std::size_t i = 0; i < widths.size(); ++i) {
                const std::string text = y < cells[i].size() ? cells[i][y] : "";
                const std::string blanks(widths[i] - answers::columns(text), ' ');
                if (i > 0) line += std::string(between, ' ');
                line += sides_[i] == Side::right ? blanks + text : text + blanks;
            }
            line.erase(line.find_last_not_of(' ') + 1);
            all.push_back(std::move(line));
        }
        return all;
    }

    [[nodiscard]] Lines stacked() const {
        std::size_t names = 0;
        for (const auto& name : rows_.front()) names = std::max(names, answers::columns(name) + 1);
        names = std::max<std::size_t>(std::min({names, widest_name, paper_.width / 2}), 1);
        Lines all;
        for (std::size_t i = 1; i < rows_.size(); ++i) {
            if (i > 1) all.emplace_back();
            for (std::size_t column = 0; column < sides_.size(); ++column)
                add_pair(all, rows_.front()[column], rows_[i][column], names);
        }
        return all;
    }
    void add_pair(Lines& all, const std::string& name, const std::string& value,
                  std::size_t names) const {
        if (name.empty()) {
            for (auto& line : folded(value, paper_.width)) all.push_back(std::move(line));
            return;
        }
        const std::size_t room =
            paper_.width > names + between ? paper_.width - names - between : 1;
        const Lines left = folded(name + ":", names), right = folded(value, room);
        if (right.empty()) return;
        for (std::size_t y = 0; y < std::max(left.size(), right.size()); ++y) {
            std::string line = y < left.size() ? left[y] : "";
            line += std::string(names - answers::columns(line) + between, ' ');
            if (y < right.size()) line += right[y];
            line.erase(line.find_last_not_of(' ') + 1);
            all.push_back(std::move(line));
        }
    }

    [[nodiscard]] std::string bold(const std::string& line) const {
        return styled(line, {Ink::plain, true}, paper_.colours);
    }

    const std::vector<Row>& rows_;
    const std::vector<Side>& sides_;
    const Paper& paper_;
    Widths widest_, with_folded_heading_, least_;
};

}  // namespace

Lines fitted_table(const std::vector<std::vector<std::string>>& rows,
                   const std::vector<Side>& sides, const Paper& paper) {
    return FittedTable(rows, sides, paper).lines();
}

}  // namespace padtrim::cli
