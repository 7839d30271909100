// A panel drawn in characters: its keys where they are on the product, each with the strip of its
// worst margin, the outline's line type saying the verdict. Pure.
#pragma once

#include <cstddef>
#include <vector>

#include "recipes/language/register_map.hpp"
#include "station/answers/station_status.hpp"
#include "station/cli/canvas.hpp"

namespace padtrim::cli {

// boxes: every key has an outline of three rows; named: a key is one row of name and strip; slim:
// the same with two letters of the name.
enum class Density { boxes, named, slim };

struct KeyBox {
    std::size_t x = 0, y = 0, width = 0, height = 0;
};

// Where each key of the map lies on the sheet, inside an outline of one cell. Columns follow the
// keys' x, rows their y with the product's lower edge at the bottom; no two boxes overlap.
struct PanelLayout {
    std::vector<KeyBox> keys;
    std::size_t width = 0, height = 0;
};
[[nodiscard]] PanelLayout layout_of(const language::RegisterMap& map, Density density);

[[nodiscard]] Canvas draw_panel(const language::RegisterMap& map, const answers::NestStatus& nest,
                                Density density);

}  // namespace padtrim::cli
