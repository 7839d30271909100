#include "station/cli/panel_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <gtest/gtest.h>

#include "station/cli/line_types.hpp"

namespace padtrim::cli {
namespace {

using answers::Mark;

language::Key key(const std::string& name, double x, double y, double width = 14.0) {
    language::Key result;
    result.name = name;
    result.x = Millimetre(x);
    result.y = Millimetre(y);
    result.width = Millimetre(width);
    result.height = Millimetre(14.0);
    return result;
}

language::RegisterMap panel(std::vector<language::Key> keys) {
    language::RegisterMap map;
    map.keys = std::move(keys);
    return map;
}

language::RegisterMap eight_keys() {
    std::vector<language::Key> keys;
    for (int i = 0; i < 8; ++i) {
        keys.push_back(key(std::to_string(i + 1), 20 + 22 * (i % 4), i < 4 ? 42 : 20));
    }
    return panel(keys);
}

answers::NestStatus nest(Mark mark, const std::vector<answers::KeyMargin>& keys = {}) {
    answers::NestStatus result;
    result.mark = mark;
    result.keys = keys;
    return result;
}

std::string whole(const Canvas& canvas) {
    std::string text;
    for (const auto& line : canvas.lines()) text += line + '\n';
    return text;
}

bool overlap(const KeyBox& a, const KeyBox& b) {
    return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height &&
           b.y < a.y + a.height;
}

TEST(PanelLayout, PutsKeysWhereTheyAreOnTheProduct) {
    for (const Density density : {Density::boxes, Density::named, Density::slim}) {
        const auto layout = layout_of(eight_keys(), density);
        ASSERT_EQ(layout.keys.size(), 8u);
        EXPECT_LT(layout.keys[0].x, layout.keys[1].x);
        EXPECT_EQ(layout.keys[0].y, layout.keys[3].y);
        EXPECT_EQ(layout.keys[0].x, layout.keys[4].x);
        EXPECT_LT(layout.keys[0].y, layout.keys[4].y) << "larger y is higher on the sheet";
    }
}

TEST(PanelLayout, NeverLetsKeysOverlapWhateverTheirPlaces) {
    const std::vector<language::RegisterMap> maps = {
        eight_keys(), panel({key("1", 10, 10)}),
        panel({key("slider", 50, 10, 80), key("a", 20, 30), key("b", 80, 30), key("c", 50, 34)}),
        panel({key("1", 10, 10), key("2", 26, 18), key("3", 42, 10), key("4", 58, 18)}),
        panel({key("same", 10, 10), key("place", 10, 10)})};
    for (const auto& map : maps) {
        for (const Density density : {Density::boxes, Density::named, Density::slim}) {
            const auto layout = layout_of(map, density);
            for (std::size_t i = 0; i < layout.keys.size(); ++i) {
                const auto& box = layout.keys[i];
                EXPECT_LT(box.x + box.width, layout.width);
                EXPECT_LT(box.y + box.height, layout.height + 0u);
                for (std::size_t j = 0; j < i; ++j) EXPECT_FALSE(overlap(box, layout.keys[j]));
            }
        }
    }
}

TEST(PanelLayout, DrawsAWiderKeyWider) {
    const auto layout = layout_of(
        panel({key("slider", 60, 10, 80), key("a", 20, 30), key("b", 42, 30), key("c", 64, 30)}),
        Density::boxes);
    EXPECT_GT(layout.keys[0].width, 2 * layout.keys[1].width);
}

TEST(PanelDrawing, HasALineTypeOfItsOwnForEveryVerdict) {
    std::map<std::string, Mark> seen;
    for (const Mark mark :
         {Mark::running, Mark::pass, Mark::inconclusive, Mark::no_verdict, Mark::quarantined}) {
        const auto text = whole(draw_panel(eight_keys(), nest(mark), Density::boxes));
        EXPECT_TRUE(seen.emplace(text, mark).second) << text;
    }
}

TEST(PanelDrawing, OpensTheOutlineAtAFailingKeyOnly) {
    const auto map = eight_keys();
    const auto layout = layout_of(map, Density::boxes);
    const auto sheet = draw_panel(
        map, nest(Mark::fail, {{"8", -0.5, record::Verdict::fail, "touch response", ""}}),
        Density::boxes);
    const auto middle = [&](std::size_t i) { return layout.keys[i].x + layout.keys[i].width / 2; };
    EXPECT_EQ(sheet.at(middle(7), layout.height - 1), U' ');
    EXPECT_EQ(sheet.at(middle(6), layout.height - 1), U'━');
    EXPECT_EQ(sheet.at(middle(3), 0), U'━');
}

TEST(PanelDrawing, ShowsTheFingerOnlyOverTheKeyAtWork) {
    auto running = nest(Mark::running);
    running.key = "4";
    const auto sheet = draw_panel(eight_keys(), running, Density::boxes);
    const auto layout = layout_of(eight_keys(), Density::boxes);
    const auto& box = layout.keys[3];
    EXPECT_EQ(sheet.at(box.x + box.width / 2, box.y + 1), U'●');
    const auto text = whole(sheet);
    EXPECT_EQ(text.find("●"), text.rfind("●"));
}

TEST(PanelDrawing, HatchesAQuarantinedFace) {
    const auto text = whole(draw_panel(eight_keys(), nest(Mark::quarantined), Density::boxes));
    EXPECT_GT(std::count(text.begin(), text.end(), '\xb1'), 10);  // the last byte of U+2571
}

TEST(MarginStrip, FillsTenTicksFromTheLimitToCertain) {
    EXPECT_EQ(margin_strip(0.0, true), "┊┊┊┊┊┊┊┊┊┊");
    EXPECT_EQ(margin_strip(0.3, true), "┃┃┃┊┊┊┊┊┊┊");
    EXPECT_EQ(margin_strip(1.0, true), "┃┃┃┃┃┃┃┃┃┃");
    EXPECT_EQ(margin_strip(7.5, true), margin_strip(1.0, true));
    EXPECT_EQ(margin_strip(0.3, false), "║│┊┊┊");
    EXPECT_EQ(margin_strip(1.0, false), "║║║║║");
}

TEST(MarginStrip, CrossesAMarginBeyondTheLimitOrUnknown) {
    EXPECT_EQ(margin_strip(-0.01, true).substr(0, 3), "╳");
    EXPECT_EQ(margin_strip(std::nan(""), false).substr(0, 3), "╳");
}

}  // namespace
}  // namespace padtrim::cli
