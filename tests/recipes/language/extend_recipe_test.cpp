// A recipe laid over another, defaults, and what a plan keeps of both.
#include "recipes/language/extend_recipe.hpp"

#include <fstream>
#include <iterator>
#include <map>

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

const std::string broken_folder = PADTRIM_SOURCE_DIR "/tests/recipes/broken/";

std::string base_text() {
    std::ifstream file(broken_folder + "bases/family.toml", std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

const std::string head =
    "padtrim_recipe = 1\nbased_on = \"../family.toml\"\nname = \"changed\"\nrevision = \"B\"\n";

struct Shelf {
    std::map<std::string, std::string> files{{"shop/line/../family.toml", base_text()}};
    std::optional<std::string> operator()(const std::string& path) const {
        const auto found = files.find(path);
        if (found == files.end()) return std::nullopt;
        return found->second;
    }
};

Recipe changed(const std::string& changes, const Shelf& shelf = {}) {
    const auto read = read_recipe(head + changes, "shop/line/changed.toml", shelf);
    EXPECT_EQ(document::text_of(read.diagnostics), "");
    return read.value.value_or(Recipe{});
}

std::vector<std::string> step_names_of(const Recipe& recipe) {
    std::vector<std::string> names;
    for (const auto& step : recipe.steps) names.push_back(step.name);
    return names;
}

const Step& step_named(const Recipe& recipe, const std::string& name) {
    for (const auto& step : recipe.steps)
        if (step.name == name) return step;
    throw std::out_of_range(name);
}

TEST(ExtendedRecipe, TakesOverWhatItDoesNotChange) {
    const auto recipe = changed("");
    const auto base = read_recipe(base_text(), "family.toml");
    ASSERT_TRUE(base.value);
    EXPECT_EQ(recipe.steps, base.value->steps);
    EXPECT_EQ(recipe.product, "Demo Strip 2");
    EXPECT_EQ(recipe.name, "changed");
    EXPECT_EQ(recipe.revision, "B");
}

TEST(ExtendedRecipe, ChangesOneLimitAndKeepsTheOthers) {
    const auto recipe = changed(
        "[[step]]\nname = \"gain and offset\"\nscans = 32\nlimits.gain = \"350 to 450 "
        "counts/pF\"\n");
    const auto& fit = std::get<GainOffsetStep>(step_named(recipe, "gain and offset").body);
    EXPECT_EQ(fit.scans, 32U);
    EXPECT_EQ(fit.gain.low, CountsPerPicofarad(350.0));
    EXPECT_EQ(fit.offset.low, Counts(1650.0));
    EXPECT_EQ(fit.references.size(), 4U);
}

TEST(ExtendedRecipe, TakesALimitAway) {
    const auto recipe =
        changed("[[step]]\nname = \"touch response\"\nlimits.crosstalk = \"none\"\n");
    const auto& touch = std::get<TouchStep>(step_named(recipe, "touch response").body);
    EXPECT_FALSE(touch.crosstalk.limited());
    EXPECT_TRUE(touch.response.limited());
}

TEST(ExtendedRecipe, DropsInsertsAndMovesSteps) {
    const auto recipe = changed(
        "[[step]]\nname = \"contact check\"\ndrop = true\n"
        "[[step]]\nname = \"touch response\"\nbefore = \"noise\"\n"
        "[[step]]\ndo = \"noise\"\nname = \"noise, first\"\nafter = \"identify\"\n"
        "limits.noise = \"at most 9 counts\"\n");
    EXPECT_EQ(
        step_names_of(recipe),
        (std::vector<std::string>{"identify", "noise, first", "gain and offset", "touch response",
                                  "noise", "write trims", "power cycle", "verify"}));
}

TEST(ExtendedRecipe, GoesThroughSeveralBases) {
    Shelf shelf;
    shelf.files["shop/line/middle.toml"] =
        "padtrim_recipe = 1\nbased_on = \"../family.toml\"\n[defaults]\nscans = 5\n"
        "[[step]]\nname = \"noise\"\nscans = 100\n";
    const auto read = read_recipe(
        "padtrim_recipe = 1\nbased_on = \"middle.toml\"\nname = \"n\"\nrevision = \"1\"\n"
        "[defaults]\nretries = 1\n",
        "shop/line/top.toml", shelf);
    ASSERT_TRUE(read.value) << document::text_of(read.diagnostics);
    EXPECT_EQ(std::get<NoiseStep>(step_named(*read.value, "noise").body).scans, 100U);
    EXPECT_EQ(std::get<TouchStep>(step_named(*read.value, "touch response").body).scans, 5U);
    EXPECT_EQ(std::get<GainOffsetStep>(step_named(*read.value, "gain and offset").body).scans, 16U);
    EXPECT_EQ(step_named(*read.value, "noise").retries, 1U);
    EXPECT_EQ(step_named(*read.value, "write trims").retries, 0U);
}

TEST(ExtendedRecipe, TellsAProblemOfTheBaseInTheBase) {
    Shelf shelf;
    auto& base = shelf.files["shop/line/../family.toml"];
    base.replace(base.find("at most 5 counts"), 16, "at most 5 mm    ");
    const auto read = read_recipe(head + "[[step]]\nname = \"noise\"\nscans = 0\n",
                                  "shop/line/changed.toml", shelf);
    ASSERT_EQ(read.diagnostics.size(), 2U);
    EXPECT_EQ(read.diagnostics[0].file, "shop/line/changed.toml");
    EXPECT_EQ(read.diagnostics[0].line, 7);
    EXPECT_EQ(read.diagnostics[1].file, "shop/line/../family.toml");
    EXPECT_EQ(read.diagnostics[1].line, 29);
    EXPECT_EQ(read.diagnostics[1].source_line, "limits.noise = \"at most 5 mm    \"");
}

TEST(ExtendedRecipe, IsNotReadWhereFilesCannotBeHad) {
    const auto read = read_recipe(head, "changed.toml");
    ASSERT_EQ(read.diagnostics.size(), 1U);
    EXPECT_EQ(read.diagnostics[0].line, 2);
    EXPECT_FALSE(read.value);
}

TEST(ExtendedRecipe, HasThePlanOfTheSameRecipeWrittenOut) {
    const std::string path = testing::TempDir() + "padtrim-extended.toml";
    std::string same = base_text();
    std::ofstream(path) << "padtrim_recipe = 1\nbased_on = \"" << broken_folder
                        << "bases/family.toml\"\n"
                        << "name = \"strip\"\nrevision = \"A\"\n";
    const auto map = broken_folder + "good-map.toml", fixture = broken_folder + "good-fixture.toml";
    const auto extended = load_plan({path, map, fixture});
    const auto written_out = load_plan({broken_folder + "good-recipe.toml", map, fixture});
    ASSERT_TRUE(extended.plan && written_out.plan) << document::text_of(extended.diagnostics);
    EXPECT_EQ(extended.plan->hash, written_out.plan->hash);
}

TEST(ExtendedRecipe, ChangesThePlansHashWhenItsBaseChanges) {
    Shelf shelf;
    const auto before = changed("", shelf);
    auto& base = shelf.files["shop/line/../family.toml"];
    base.replace(base.find("at most 5 counts"), 16, "at most 6 counts");
    const auto after = changed("", shelf);
    EXPECT_NE(make_plan(before, {}, {})->hash, make_plan(after, {}, {})->hash);
}

TEST(RecipeFlow, IsKeptByThePlansText) {
    const auto recipe = changed(
        "fixture_has = [\"finger\", \"climate\"]\n"
        "[[step]]\nname = \"noise\"\nretries = 2\non_failure = \"go on\"\n"
        "except = [{ keys = [\"plus\"], limits.noise = \"at most 7 counts\" },\n"
        "          { channels = [0], limits.noise = \"at most 8 counts\" }]\n"
        "[[step]]\nname = \"touch response\"\nonly_if = { step = \"noise\", was = \"not pass\" "
        "}\n");
    const auto& noise = step_named(recipe, "noise");
    ASSERT_EQ(noise.exceptions.size(), 2U);
    EXPECT_EQ(noise.exceptions[0].limits, (std::vector<ExceptedLimit>{{"noise", {}, 7.0}}));
    EXPECT_EQ(noise.exceptions[1].channels, (std::vector<std::uint16_t>{0}));
    ASSERT_TRUE(step_named(recipe, "touch response").only_if);
    const auto good =
        load_plan({broken_folder + "good-recipe.toml", broken_folder + "good-map.toml",
                   broken_folder + "good-fixture.toml"});
    const auto plan = make_plan(recipe, good.plan->map, good.plan->fixture);
    const auto again = read_plan(plan_text(*plan));
    ASSERT_TRUE(again.plan) << document::text_of(again.diagnostics);
    EXPECT_EQ(again.plan->recipe, recipe);
    EXPECT_EQ(again.plan->hash, plan->hash);
}

TEST(RecipeNeeds, AreRefusedOnAFixtureThatLacksThem) {
    const auto text_of = [](const std::string& path) {
        std::ifstream file(path, std::ios::binary);
        return std::string{std::istreambuf_iterator<char>(file), {}};
    };
    std::string recipe_text = base_text(),
                fixture_text = text_of(broken_folder + "good-fixture.toml");
    recipe_text.insert(recipe_text.find("[decision]"),
                       "fixture_has = [\"finger\", \"bonded return path\"]\n");
    const std::string recipe = testing::TempDir() + "padtrim-fixture-has.toml";
    const std::string fixture = testing::TempDir() + "padtrim-floating.toml";
    std::ofstream(recipe) << recipe_text;
    std::ofstream(fixture) << fixture_text.insert(fixture_text.find("[relays]"),
                                                  "return_path = \"floating\"\n");
    const auto map = broken_folder + "good-map.toml";
    EXPECT_TRUE(load_plan({recipe, map, broken_folder + "good-fixture.toml"}).plan);
    const auto refused = load_plan({recipe, map, fixture});
    ASSERT_EQ(refused.diagnostics.size(), 1U) << document::text_of(refused.diagnostics);
    EXPECT_EQ(refused.diagnostics[0].message,
              "the fixture lacks what this recipe needs: bonded return path");
    EXPECT_EQ(refused.diagnostics[0].file, recipe);
    EXPECT_EQ(refused.diagnostics[0].source_line,
              "fixture_has = [\"finger\", \"bonded return path\"]");
}

TEST(RecipeFlow, LeavesThePlansTextAsItWasWhereNothingIsAsked) {
    const auto good =
        load_plan({broken_folder + "good-recipe.toml", broken_folder + "good-map.toml",
                   broken_folder + "good-fixture.toml"});
    const auto text = plan_text(*good.plan);
    for (const char* key : {"fixture_has", "only_if", "except", "defaults", "based_on"})
        EXPECT_EQ(text.find(key), std::string::npos) << key;
}

}  // namespace
}  // namespace padtrim::language
