// Documents far larger than a line would write: read in the time that an editor waits, refused when
// they are absurd.
#include <algorithm>
#include <chrono>
#include <fstream>
#include <iostream>
#include <iterator>

#include <gtest/gtest.h>

#include "recipes/language/check_together.hpp"
#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

const std::string folder = PADTRIM_SOURCE_DIR "/tests/recipes/broken/";

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::string fit_step(int number) {
    return "[[step]]\ndo = \"gain and offset\"\nname = \"fit " + std::to_string(number) +
           "\"\nreferences = [\"R1\", \"R2\", \"R3\", \"R4\"]\nscans = 16\n"
           "limits.gain = \"330 to 470 counts/pF\"\nlimits.offset = \"1650 to 2350 counts\"\n"
           "limits.non_linearity = \"at most 1 %\"\n\n";
}

// The good recipe with more steps behind the first.
std::string recipe_of(int steps) {
    std::string text = content(folder + "good-recipe.toml");
    std::string more;
    for (int i = 8; i < steps; ++i) more += fit_step(i);
    return text.insert(text.find("[[step]]\ndo = \"contact check\""), more);
}

// What reading and checking takes; the recipe has to be without problems.
double milliseconds_for(const std::string& text, std::size_t steps) {
    const std::string map_text = content(folder + "good-map.toml");
    const std::string fixture_text = content(folder + "good-fixture.toml");
    const auto begin = std::chrono::steady_clock::now();
    auto recipe = read_document<Recipe>(text, "recipe.toml");
    auto map = read_document<RegisterMap>(map_text, "map.toml");
    auto fixture = read_document<FixtureProfile>(fixture_text, "fixture.toml");
    check_together(recipe, map, fixture);
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - begin;
    EXPECT_EQ(document::text_of(recipe.document.diagnostics()), "");
    EXPECT_EQ(recipe.value.steps.size(), steps);
    return took.count();
}

// The best of several: a busy machine only ever adds.
double best_for(int steps) {
    const std::string text = recipe_of(steps);
    const auto count = static_cast<std::size_t>(steps);
    double best = milliseconds_for(text, count);
    for (int i = 0; i < 4; ++i) best = std::min(best, milliseconds_for(text, count));
    return best;
}

// Time grows with the number of steps; with its square it would grow sixteenfold. The figure is
// printed, for a slow machine proves nothing.
TEST(FiveHundredSteps, TakeAboutFourTimesAsLongAsAQuarterOfThem) {
    const double quarter = best_for(125), whole = best_for(500);
    std::cout << "500 steps: " << whole << " ms, 125 steps: " << quarter << " ms\n";
    EXPECT_LT(whole, 12.0 * quarter);
}

TEST(Recipe, WithMoreStepsThanAnybodyNeedsIsRefused) {
    const auto read = read_recipe(recipe_of(1001), "recipe.toml");
    EXPECT_FALSE(read.value.has_value());
    ASSERT_EQ(read.diagnostics.size(), 1U);
    EXPECT_EQ(read.diagnostics[0].message, "this recipe has 1001 steps");
}

TEST(Recipe, FullOfMistakesTellsTwoHundredOfThem) {
    std::string text = content(folder + "good-recipe.toml");
    std::string more;
    for (int i = 0; i < 5000; ++i) more += "wrong_" + std::to_string(i) + " = 1\n";
    text.insert(text.find("[decision]"), more);
    const auto read = read_recipe(text, "recipe.toml");
    ASSERT_EQ(read.diagnostics.size(), 201U);
    EXPECT_EQ(read.diagnostics.back().message, "there are more problems than are told here");
    EXPECT_EQ(read.diagnostics[7].source_line, "wrong_7 = 1");
}

TEST(RegisterMap, WithMoreKeysThanChannelsCanBeIsRefused) {
    std::string text = content(folder + "good-map.toml");
    for (int i = 0; i < 1025; ++i)
        text += "[[key]]\nname = \"k" + std::to_string(i) +
                "\"\nchannels = [0]\nx = \"10 mm\"\ny = \"10 mm\"\nwidth = \"1 mm\"\n"
                "height = \"1 mm\"\n";
    const auto read = read_register_map(text, "map.toml");
    ASSERT_EQ(read.diagnostics.size(), 1U);
    EXPECT_EQ(read.diagnostics[0].message, "this panel has 1027 keys");
}

}  // namespace
}  // namespace padtrim::language
