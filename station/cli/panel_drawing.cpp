#include "station/cli/panel_drawing.hpp"

#include <algorithm>
#include <cmath>

#include "station/answers/printable.hpp"
#include "station/cli/line_types.hpp"

namespace padtrim::cli {
namespace {

using answers::Mark;

struct Span {
    double low = 0.0, high = 0.0;
};

struct Cells {
    double least_width, height, gap;
    std::size_t margin;  // blank columns inside the outline
};

// One row holds an edge, the name and a strip of five cells.
Cells cells_of(const language::RegisterMap& map, Density density) {
    if (density == Density::boxes) return {7.0, 3.0, 1.0, 1};
    std::size_t name = 2;
    for (const auto& key : map.keys) {
        if (density == Density::named) name = std::max(name, answers::columns(key.name));
    }
    return {static_cast<double>(std::min<std::size_t>(name, 8) + 6), 1.0, 1.0, 0};
}

Span columns_of(const language::Key& key, double scale, const Cells& cells) {
    const double half = std::max(key.width.value() * scale, cells.least_width) / 2.0;
    return {key.x.value() * scale - half, key.x.value() * scale + half};
}

bool apart(const Span& a, const Span& b, double gap) {
    return a.high + gap <= b.low || b.high + gap <= a.low;
}

// The smallest scale (cells a millimetre) at which keys that share a row do not touch.
double column_scale(const std::vector<language::Key>& keys, const Cells& cells) {
    const auto fits = [&](double scale) {
        for (std::size_t i = 0; i < keys.size(); ++i) {
            for (std::size_t j = i + 1; j < keys.size(); ++j) {
                const double dy = std::abs(keys[i].y.value() - keys[j].y.value());
                const bool row = dy < (keys[i].height.value() + keys[j].height.value()) / 2.0;
                if (!row) continue;
                if (!apart(columns_of(keys[i], scale, cells), columns_of(keys[j], scale, cells),
                           cells.gap)) {
                    return false;
                }
            }
        }
        return true;
    };
    double scale = 0.02;
    while (scale < 2.0 && !fits(scale)) scale += 0.01;
    return scale;
}

// Keys into rows from the top: a key lies below every key that is above it and shares columns.
std::vector<std::size_t> rows_of(const std::vector<language::Key>& keys,
                                 const std::vector<Span>& columns) {
    std::vector<std::size_t> order(keys.size()), rows(keys.size(), 0);
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return keys[a].y > keys[b].y; });
    for (std::size_t n = 0; n < order.size(); ++n) {
        const std::size_t key = order[n];
        for (std::size_t m = 0; m < n; ++m) {
            const std::size_t above = order[m];
            const double drop = keys[above].y.value() - keys[key].y.value();
            const bool lower =
                drop >= (keys[above].height.value() + keys[key].height.value()) / 2.0;
            if (lower || !apart(columns[above], columns[key], 0.0)) {
                rows[key] = std::max(rows[key], rows[above] + 1);
            } else {
                rows[key] = std::max(rows[key], rows[above]);
            }
        }
    }
    return rows;
}

Mark key_mark(const answers::NestStatus& nest, const answers::KeyMargin* margin) {
    if (!margin) return nest.mark == Mark::running ? Mark::running : Mark::waiting;
    return answers::mark_of(margin->verdict, record::Disposition::undecided);
}

const answers::KeyMargin* margin_of(const answers::NestStatus& nest, const std::string& key) {
    const auto at = std::find_if(nest.keys.begin(), nest.keys.end(),
                                 [&](const auto& margin) { return margin.key == key; });
    return at == nest.keys.end() ? nullptr : &*at;
}

void outline(Canvas& sheet, const KeyBox& box, const LineSet& lines, Style style) {
    const std::size_t right = box.x + box.width - 1, bottom = box.y + box.height - 1;
    for (std::size_t x = box.x + 1; x < right; ++x) {
        sheet.put(x, box.y, lines.across, style);
        sheet.put(x, bottom, lines.across, style);
    }
    for (std::size_t y = box.y + 1; y < bottom; ++y) {
        sheet.put(box.x, y, lines.down, style);
        sheet.put(right, y, lines.down, style);
    }
    sheet.put(box.x, box.y, lines.top_left, style);
    sheet.put(right, box.y, lines.top_right, style);
    sheet.put(box.x, bottom, lines.bottom_left, style);
    sheet.put(right, bottom, lines.bottom_right, style);
}

void draw_strip(Canvas& sheet, const KeyBox& box, const answers::NestStatus& nest,
                const answers::KeyMargin* margin, bool at_work) {
    const bool boxed = box.height >= 3;
    const std::size_t inner = boxed ? box.width - 2 : 5;
    const std::size_t x = boxed ? box.x + 1 : box.x + box.width - 5;
    const std::size_t y = boxed ? box.y + box.height / 2 : box.y;
    const bool wide = inner >= 10;
    const std::size_t start = x + (inner - (wide ? 10 : 5)) / 2;
    if (at_work) {
        sheet.write(start + 2, y, "● ", {Ink::hand, true});
    } else if (margin) {
        sheet.write(start, y, margin_strip(margin->margin, wide), style_of(key_mark(nest, margin)));
    }
}

void draw_key(Canvas& sheet, const KeyBox& box, const language::Key& key,
              const answers::NestStatus& nest) {
    const auto* margin = margin_of(nest, key.name);
    const bool at_work = nest.mark == Mark::running && nest.key == key.name;
    const Mark mark = key_mark(nest, margin);
    const Style style = at_work ? Style{Ink::hand, true} : style_of(mark);
    const LineSet& lines = lines_of(mark);
    for (std::size_t y = box.y; y < box.y + box.height; ++y) {
        for (std::size_t x = box.x; x < box.x + box.width; ++x) sheet.put(x, y, U' ');
    }
    if (box.height >= 3) {
        outline(sheet, box, lines, style);
        const std::string name = answers::printable(key.name, box.width - 2);
        sheet.write(box.x + 1, box.y, name, {Ink::plain, true});
    } else {
        // Until there is a margin, the name has its place too.
        const std::size_t strip = margin ? 5 : at_work ? 3 : 0;
        const std::string name = answers::printable(key.name, 20);
        sheet.put(box.x, box.y, lines.down, style);
        sheet.write(box.x + 1, box.y, answers::fitted(name, box.width - 1 - strip),
                    {Ink::plain, true});
    }
    draw_strip(sheet, box, nest, margin, at_work);
}

// A failed panel's outline is open where its failing keys are: above them in the upper half,
// below them in the lower half.
void open_outline(Canvas& sheet, const PanelLayout& layout, const language::RegisterMap& map,
                  const answers::NestStatus& nest) {
    for (std::size_t i = 0; i < layout.keys.size(); ++i) {
        const auto* margin = margin_of(nest, map.keys[i].name);
        if (!margin || margin->verdict != record::Verdict::fail) continue;
        const KeyBox& box = layout.keys[i];
        const bool upper = box.y + box.height / 2 < layout.height / 2;
        const std::size_t edge = upper ? 0 : layout.height - 1;
        for (std::size_t x = box.x + 1; x + 1 < box.x + box.width; ++x) sheet.put(x, edge, U' ');
        const Style style = style_of(Mark::fail);
        sheet.put(box.x, edge, U'╸', style);
        sheet.put(box.x + box.width - 1, edge, U'╺', style);
    }
}

}  // namespace

PanelLayout layout_of(const language::RegisterMap& map, Density density) {
    const Cells cells = cells_of(map, density);
    const double scale = column_scale(map.keys, cells);
    std::vector<Span> columns;
    double left = 1e9;
    for (const auto& key : map.keys) {
        columns.push_back(columns_of(key, scale, cells));
        left = std::min(left, columns.back().low);
    }
    const auto rows = rows_of(map.keys, columns);
    PanelLayout layout{{}, 16, 2 + static_cast<std::size_t>(cells.height)};
    for (std::size_t i = 0; i < map.keys.size(); ++i) {
        KeyBox box;
        box.x = 1 + cells.margin + static_cast<std::size_t>(std::lround(columns[i].low - left));
        box.width = static_cast<std::size_t>(std::lround(columns[i].high - columns[i].low));
        box.height = static_cast<std::size_t>(cells.height);
        box.y = 1 + rows[i] * box.height;
        layout.width = std::max(layout.width, box.x + box.width + cells.margin + 1);
        layout.height = std::max(layout.height, box.y + box.height + 1);
        layout.keys.push_back(box);
    }
    return layout;
}

Canvas draw_panel(const language::RegisterMap& map, const answers::NestStatus& nest,
                  Density density) {
    const PanelLayout layout = layout_of(map, density);
    Canvas sheet(layout.width, layout.height);
    const LineSet& lines = nest.mark == Mark::fail ? lines_of(Mark::pass) : lines_of(nest.mark);
    for (std::size_t y = 1; y + 1 < layout.height; ++y) {
        for (std::size_t x = 1; x + 1 < layout.width; ++x) {
            sheet.put(x, y, lines.face, {Ink::faint, false});
        }
    }
    outline(sheet, {0, 0, layout.width, layout.height}, lines, style_of(nest.mark));
    if (nest.mark == Mark::fail) open_outline(sheet, layout, map, nest);
    for (std::size_t i = 0; i < map.keys.size(); ++i) {
        draw_key(sheet, layout.keys[i], map.keys[i], nest);
    }
    return sheet;
}

}  // namespace padtrim::cli
