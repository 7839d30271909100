#include "station/cli/canvas.hpp"

#include <sstream>

#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

bool given(const char* value) {
    return value && *value;
}

void append(std::string& text, char32_t glyph) {
    const auto byte = [&](char32_t value) { text += static_cast<char>(value); };
    if (glyph < 0x80) {
        byte(glyph);
    } else if (glyph < 0x800) {
        byte(0xC0 | glyph >> 6);
        byte(0x80 | (glyph & 0x3F));
    } else if (glyph < 0x10000) {
        byte(0xE0 | glyph >> 12);
        byte(0x80 | (glyph >> 6 & 0x3F));
        byte(0x80 | (glyph & 0x3F));
    } else {
        byte(0xF0 | glyph >> 18);
        byte(0x80 | (glyph >> 12 & 0x3F));
        byte(0x80 | (glyph >> 6 & 0x3F));
        byte(0x80 | (glyph & 0x3F));
    }
}

std::vector<char32_t> glyphs(std::string_view text) {
    std::vector<char32_t> result;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if ((byte & 0xC0u) == 0x80u && !result.empty()) {
            result.back() = result.back() << 6 | (byte & 0x3Fu);
        } else {
            result.push_back(byte < 0x80    ? byte
                             : byte >= 0xF0 ? byte & 0x07u
                             : byte >= 0xE0 ? byte & 0x0Fu
                                            : byte & 0x1Fu);
        }
    }
    return result;
}

// Okabe and Ito, Color Universal Design (2008): blue 0072B2, vermilion D55E00, orange E69F00, and
// their nearest entries of the usual 256-colour table.
const char* colour_code(Ink ink, Colours colours) {
    const bool full = colours == Colours::full;
    switch (ink) {
        case Ink::live:
            return full ? "38;2;0;114;178" : "38;5;25";
        case Ink::stop:
            return full ? "38;2;213;94;0" : "38;5;166";
        case Ink::hand:
            return full ? "38;2;230;159;0" : "38;5;178";
        case Ink::faint:
            return "2";
        case Ink::plain:
            return "";
    }
    return "";
}

}  // namespace

Colours colours_for(const char* no_color, const char* colorterm, const char* term) {
    if (given(no_color) || !given(term) || std::string_view(term) == "dumb") return Colours::none;
    const std::string_view depth = given(colorterm) ? colorterm : "";
    if (depth == "truecolor" || depth == "24bit") return Colours::full;
    const bool palette = std::string_view(term).find("256color") != std::string_view::npos;
    return palette ? Colours::palette : Colours::none;
}

std::string styled(std::string_view text, Style style, Colours colours) {
    if (colours == Colours::plain) return std::string(text);
    std::string codes = style.bold ? "1" : "";
    if (colours != Colours::none && style.ink != Ink::plain) {
        if (!codes.empty()) codes += ';';
        codes += colour_code(style.ink, colours);
    }
    if (codes.empty()) return std::string(text);
    return "\x1b[" + codes + "m" + std::string(text) + "\x1b[0m";
}

Canvas::Canvas(std::size_t width, std::size_t height)
    : width_(width), height_(height), cells_(width * height) {}

void Canvas::put(std::size_t x, std::size_t y, char32_t glyph, Style style) {
    if (x < width_ && y < height_) cells_[y * width_ + x] = {glyph, style};
}

void Canvas::write(std::size_t x, std::size_t y, std::string_view text, Style style) {
    for (const char32_t glyph : glyphs(text)) put(x++, y, glyph, style);
}

void Canvas::place(std::size_t x, std::size_t y, const Canvas& drawing) {
    for (std::size_t row = 0; row < drawing.height_; ++row) {
        for (std::size_t column = 0; column < drawing.width_; ++column) {
            const Cell& cell = drawing.cells_[row * drawing.width_ + column];
            put(x + column, y + row, cell.glyph, cell.style);
        }
    }
}

char32_t Canvas::at(std::size_t x, std::size_t y) const {
    return x < width_ && y < height_ ? cells_[y * width_ + x].glyph : U' ';
}

std::string Canvas::line(std::size_t y, Colours colours) const {
    std::size_t end = width_;
    while (end > 0 && at(end - 1, y) == U' ') --end;
    std::string text;
    for (std::size_t x = 0; x < end;) {
        const Style style = cells_[y * width_ + x].style;
        std::string run;
        for (; x < end && cells_[y * width_ + x].style == style; ++x) append(run, at(x, y));
        text += styled(run, style, colours);
    }
    return text;
}

std::vector<std::string> Canvas::lines(Colours colours) const {
    std::vector<std::string> result;
    for (std::size_t y = 0; y < height_; ++y) result.push_back(line(y, colours));
    return result;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t width, std::size_t most) {
    std::vector<std::string> lines;
    std::istringstream words{std::string(text)};
    std::string word;
    while (words >> word) {
        if (answers::columns(word) > width) word = answers::fitted(word, width);
        const bool fits =
            !lines.empty() && answers::columns(lines.back()) + 1 + answers::columns(word) <= width;
        if (fits) {
            lines.back() += ' ' + word;
        } else if (lines.size() == most) {
            break;
        } else {
            lines.push_back(word);
        }
    }
    return lines;
}

}  // namespace padtrim::cli
