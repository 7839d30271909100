// Shipped documents, each with one place changed so that the three no longer fit together where
// the small panel of tests/recipes/broken has nothing to show it with: sliders, pads, targets.
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>

#include "recipes/language/check_together.hpp"
#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

std::string shipped(const std::string& path) {
    std::ifstream file(PADTRIM_SOURCE_DIR "/" + path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

enum class Part { recipe, map, fixture };

struct Swap {
    std::string product, fixture;
    Part in;
    std::string from, to;
};

// All messages, "document: message" a line.
std::string messages(const Swap& swap) {
    std::string texts[] = {shipped("recipes/examples/" + swap.product + ".toml"),
                           shipped("fixtures/units/" + swap.product + ".toml"),
                           shipped("fixtures/profiles/" + swap.fixture + ".toml")};
    auto& text = texts[static_cast<std::size_t>(swap.in)];
    const auto at = text.find(swap.from);
    EXPECT_NE(at, std::string::npos) << swap.from;
    if (at != std::string::npos) text.replace(at, swap.from.size(), swap.to);
    auto recipe = read_document<Recipe>(texts[0], "recipe");
    auto map = read_document<RegisterMap>(texts[1], "map");
    auto fixture = read_document<FixtureProfile>(texts[2], "fixture");
    check_together(recipe, map, fixture);
    std::string all;
    for (const auto* document : {&recipe.document, &map.document, &fixture.document})
        for (const auto& each : document->diagnostics())
            all += each.file + ':' + std::to_string(each.line) + ": " + each.message + '\n';
    return all;
}

std::string of_lamp(Part in, const std::string& from, const std::string& to) {
    return messages({"lamp-panel-slider-wheel", "lamp-bench-1-nest", in, from, to});
}

std::string of_door(Part in, const std::string& from, const std::string& to) {
    return messages({"door-panel-proximity", "door-bench-1-nest", in, from, to});
}

TEST(ChangedExamples, AreGoodAsTheyAre) {
    EXPECT_EQ(of_lamp(Part::recipe, "do", "do"), "");
    EXPECT_EQ(of_door(Part::recipe, "do", "do"), "");
}

TEST(ChangedExamples, SendTheFingerBeyondItsTravelAroundAWheel) {
    EXPECT_EQ(of_lamp(Part::fixture, "travel_x = \"400 mm\"", "travel_x = \"190 mm\""),
              "fixture:33: on nest 1 these keys lie outside the finger's travel: colour\n");
}

TEST(ChangedExamples, SendATargetBeyondTheFingersTravelAcrossThePanel) {
    EXPECT_EQ(of_door(Part::fixture, "travel_x = \"400 mm\"", "travel_x = \"205 mm\""),
              "fixture:34: on nest 1 a hover sweep across the panel leaves the finger's travel\n");
}

TEST(ChangedExamples, LetAThickTargetStrikeThePanelOnItsWay) {
    EXPECT_EQ(
        of_door(Part::fixture, "thickness = \"5 mm\"", "thickness = \"35 mm\""),
        "fixture:64: in front of the finger at its safe height, \"plate 40\" would strike the "
        "panel or pass less than 1 mm above it\n");
}

TEST(ChangedExamples, LetTheFingerDescendFasterThanItMay) {
    EXPECT_EQ(of_door(Part::recipe, "speed = \"50 mm/s\"", "speed = \"250 mm/s\""),
              "recipe:72: the fixture's finger descends at 60 mm/s at most\n");
}

TEST(ChangedExamples, LimitTheSupplyFinerThanItsRegisterTellsIt) {
    EXPECT_EQ(of_lamp(Part::recipe, "3.2 to 3.4 V", "3.30001 to 3.30002 V"),
              "recipe:21: this limit is finer than can be resolved: one count of its register is "
              "0.001 V\n");
}

TEST(ChangedExamples, LimitTheSupplyBeyondItsRegister) {
    EXPECT_EQ(of_lamp(Part::recipe, "3.2 to 3.4 V", "100 to 200 V"),
              "recipe:21: no unit can be within this limit: its register tells 0 to 65.535 V\n");
}

TEST(ChangedExamples, LimitPositionsFinerThanTheyAreReported) {
    EXPECT_EQ(of_lamp(Part::recipe, "at most 6 mm", "at most 0.001 mm"),
              "recipe:61: this limit is finer than can be resolved: one step of the reported "
              "position is 0.0968 mm\n");
}

}  // namespace
}  // namespace padtrim::language
