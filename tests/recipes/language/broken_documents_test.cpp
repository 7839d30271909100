// Every document under tests/recipes/broken, loaded beside good companions, gives exactly the
// messages that stand beside it in NAME.expected. The file's first word says which of the three
// it is. After a change of wording: PADTRIM_RENEW_EXPECTED=1 test_recipes_language, then read the
// difference.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"

namespace padtrim::language {
namespace {

const std::string folder = PADTRIM_SOURCE_DIR "/tests/recipes/broken/";

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::string> broken_documents() {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        const std::string name = entry.path().stem().string();
        if (entry.path().extension() == ".toml" && !name.starts_with("good-"))
            names.push_back(name);
    }
    std::sort(names.begin(), names.end());
    return names;
}

// The three documents, with the broken one in its place.
DocumentPaths beside_good_ones(const std::string& name) {
    DocumentPaths paths{folder + "good-recipe.toml", folder + "good-map.toml",
                        folder + "good-fixture.toml"};
    std::string& place = name.starts_with("recipe-") ? paths.recipe
                         : name.starts_with("map-")  ? paths.map
                                                     : paths.fixture;
    place = folder + name + ".toml";
    return paths;
}

// Messages name files as they were given; the folder of this machine is no part of what we expect.
std::string without_folder(std::string text) {
    for (auto at = text.find(folder); at != std::string::npos; at = text.find(folder))
        text.erase(at, folder.size());
    return text;
}

class BrokenDocument : public testing::TestWithParam<std::string> {};

TEST_P(BrokenDocument, GivesTheExpectedMessages) {
    const auto loaded = load_plan(beside_good_ones(GetParam()));
    EXPECT_EQ(loaded.plan, nullptr);
    const std::string messages = without_folder(document::text_of(loaded.diagnostics));
    const std::string expected = folder + GetParam() + ".expected";
    if (std::getenv("PADTRIM_RENEW_EXPECTED") != nullptr) std::ofstream(expected) << messages;
    EXPECT_EQ(messages, content(expected));
}

TEST_P(BrokenDocument, GivesEveryMessageAPlaceAndAMend) {
    for (const auto& each : load_plan(beside_good_ones(GetParam())).diagnostics) {
        EXPECT_FALSE(each.file.empty());
        EXPECT_GE(each.line, 1);
        EXPECT_GE(each.column, 1);
        EXPECT_FALSE(each.message.empty());
        EXPECT_FALSE(each.mend.empty());
        EXPECT_NE(each.message.back(), '.') << each.message;
        EXPECT_LE(static_cast<std::size_t>(each.column), each.source_line.size() + 1);
    }
}

std::string test_name(const testing::TestParamInfo<std::string>& info) {
    std::string name = info.param;
    std::replace(name.begin(), name.end(), '-', '_');
    return name;
}

INSTANTIATE_TEST_SUITE_P(All, BrokenDocument, testing::ValuesIn(broken_documents()), test_name);

TEST(BrokenDocuments, StandBesideGoodOnesThatLoad) {
    const auto loaded = load_plan(
        {folder + "good-recipe.toml", folder + "good-map.toml", folder + "good-fixture.toml"});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    EXPECT_NE(loaded.plan, nullptr);
}

TEST(BrokenDocuments, StandBesideAGoodMapOfAProductThatTalksInLines) {
    const auto loaded = load_plan({folder + "good-recipe.toml", folder + "good-map-in-lines.toml",
                                   folder + "good-fixture.toml"});
    EXPECT_EQ(document::text_of(loaded.diagnostics), "");
    ASSERT_NE(loaded.plan, nullptr);
    const auto again = read_plan(plan_text(*loaded.plan));
    ASSERT_NE(again.plan, nullptr) << document::text_of(again.diagnostics);
    EXPECT_EQ(again.plan->map, loaded.plan->map);
}

TEST(BrokenDocuments, AreAHundredOrMore) {
    EXPECT_GE(broken_documents().size(), 100U);
}

}  // namespace
}  // namespace padtrim::language
