// A sheet of character cells that drawings are put on, and its lines as text for a terminal.
// Pure: nothing here writes to a terminal or reads the environment.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace padtrim::cli {

// What a colour means; it only adds to line type and word.
enum class Ink { plain, faint, live, stop, hand };

struct Style {
    Ink ink = Ink::plain;
    bool bold = false;
    friend bool operator==(const Style&, const Style&) = default;
};

// plain: no escape sequence at all, for files and pipes; none: bold only; palette: 256 colours;
// full: 24 bit.
enum class Colours { plain, none, palette, full };

// Follows NO_COLOR (any value that is not empty), COLORTERM and TERM as given.
[[nodiscard]] Colours colours_for(const char* no_color, const char* colorterm, const char* term);

// `text` between the escape sequences of a style.
[[nodiscard]] std::string styled(std::string_view text, Style style, Colours colours);

class Canvas {
  public:
    Canvas(std::size_t width, std::size_t height);
    [[nodiscard]] std::size_t width() const { return width_; }
    [[nodiscard]] std::size_t height() const { return height_; }
    // Outside the sheet nothing happens.
    void put(std::size_t x, std::size_t y, char32_t glyph, Style style = {});
    void write(std::size_t x, std::size_t y, std::string_view text, Style style = {});
    void place(std::size_t x, std::size_t y, const Canvas& drawing);
    [[nodiscard]] char32_t at(std::size_t x, std::size_t y) const;
    // Without blanks at the end.
    [[nodiscard]] std::string line(std::size_t y, Colours colours = Colours::none) const;
    [[nodiscard]] std::vector<std::string> lines(Colours colours = Colours::none) const;

  private:
    struct Cell {
        char32_t glyph = U' ';
        Style style;
    };
    std::size_t width_, height_;
    std::vector<Cell> cells_;
};

// Words into lines of at most `width` columns and at most `most` lines; a longer word is cut.
[[nodiscard]] std::vector<std::string> wrapped(std::string_view text, std::size_t width,
                                               std::size_t most = 100);

}  // namespace padtrim::cli
