#include "station/cli/line_types.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

using answers::Mark;

constexpr std::array tape_order = {Mark::pass,       Mark::fail,        Mark::inconclusive,
                                   Mark::no_verdict, Mark::quarantined, Mark::running,
                                   Mark::removed,    Mark::paused};

std::string mark_text(Mark mark, Colours colours) {
    Canvas cell(1, 1);
    cell.put(0, 0, tape_glyph(mark), style_of(mark));
    return cell.line(0, colours);
}

}  // namespace

const LineSet& lines_of(Mark mark) {
    static constexpr LineSet heavy{U'┏', U'━', U'┓', U'┃', U'┗', U'┛', U' '};
    static constexpr LineSet broken{U'┏', U'╸', U'┓', U'╏', U'┗', U'┛', U' '};
    static constexpr LineSet dashed{U'┌', U'╌', U'┐', U'╎', U'└', U'┘', U' '};
    static constexpr LineSet dotted{U'·', U'·', U'·', U':', U'·', U'·', U' '};
    static constexpr LineSet hatched{U'┌', U'─', U'┐', U'│', U'└', U'┘', U'╱'};
    static constexpr LineSet thin{U'┌', U'─', U'┐', U'│', U'└', U'┘', U' '};
    switch (mark) {
        case Mark::pass:
            return heavy;
        case Mark::fail:
            return broken;
        case Mark::inconclusive:
            return dashed;
        case Mark::no_verdict:
            return dotted;
        case Mark::quarantined:
            return hatched;
        case Mark::running:
        case Mark::waiting:
        case Mark::removed:
        case Mark::paused:
            return thin;
    }
    return thin;
}

Style style_of(Mark mark) {
    switch (mark) {
        case Mark::pass:
        case Mark::running:
            return {Ink::live, false};
        case Mark::fail:
            return {Ink::stop, false};
        case Mark::inconclusive:
        case Mark::no_verdict:
        case Mark::quarantined:
        case Mark::paused:
            return {Ink::hand, false};
        case Mark::waiting:
        case Mark::removed:
            return {Ink::faint, false};
    }
    return {};
}

std::string upper(std::string_view word) {
    std::string text(word);
    for (char& c : text) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    return text;
}

char32_t tape_glyph(Mark mark) {
    switch (mark) {
        case Mark::pass:
            return U'┃';
        case Mark::fail:
            return U'╳';
        case Mark::inconclusive:
            return U'╎';
        case Mark::no_verdict:
            return U':';
        case Mark::quarantined:
            return U'▒';
        case Mark::running:
            return U'┬';
        case Mark::removed:
            return U'○';
        case Mark::paused:
            return U'‖';
        case Mark::waiting:
            return U' ';
    }
    return U' ';
}

std::vector<std::string> tape_lines(const std::vector<answers::TapeMark>& tape, std::size_t width,
                                    Colours colours) {
    const std::size_t tens = std::max<std::size_t>((width + 1) / 11, 1);
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < tape.size(); ++i) {
        if (i % (tens * 10) == 0) {
            lines.emplace_back();
        } else if (i % 10 == 0) {
            lines.back() += ' ';
        }
        lines.back() += mark_text(tape[i].mark, colours);
    }
    return lines;
}

std::vector<std::string> tape_legend(const std::vector<answers::TapeMark>& tape, std::size_t width,
                                     Colours colours) {
    const auto there_is = [&](Mark wanted) {
        return std::any_of(tape.begin(), tape.end(),
                           [&](const auto& mark) { return mark.mark == wanted; });
    };
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    for (const Mark mark : tape_order) {
        const bool rare = mark == Mark::removed || mark == Mark::paused;
        if (rare && !there_is(mark)) continue;
        const std::string word(name_of(mark));
        const std::size_t wide = 2 + word.size() + (used > 0 ? 3 : 0);
        if (used > 0 && used + wide > width) {
            lines.emplace_back();
            used = 0;
        }
        if (used > 0) lines.back() += "   ";
        lines.back() += mark_text(mark, colours) + ' ' + word;
        used += wide;
    }
    return lines;
}

std::string ticks(std::size_t full, std::size_t cells) {
    std::string strip;
    for (std::size_t i = 0; i < cells; ++i) strip += i < full ? "┃" : "┊";
    return strip;
}

std::string margin_strip(double margin, bool wide) {
    const std::size_t cells = wide ? 10 : 5;
    if (!(margin >= 0.0)) return "╳" + ticks(0, cells - 1);
    const auto full = static_cast<std::size_t>(std::floor(std::min(margin, 1.0) * 10.0 + 1e-9));
    if (wide) return ticks(full, cells);
    std::string strip;
    for (std::size_t before = 0; before < 2 * cells; before += 2)
        strip += before + 1 < full ? "║" : before < full ? "│" : "┊";
    return strip;
}

}  // namespace padtrim::cli
