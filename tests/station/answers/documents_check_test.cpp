#include "station/answers/documents_check.hpp"

#include <fstream>

#include <boost/json/array.hpp>
#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace padtrim::answers {
namespace {

const std::string root = PADTRIM_SOURCE_DIR;
const std::string recipe = root + "/recipes/examples/hob-panel-8.toml";
const std::string map = root + "/fixtures/units/hob-panel-8.toml";
const std::string fixture = root + "/fixtures/profiles/hob-line-4-nests.toml";

std::string write(const support::TemporaryFolder& folder, const std::string& name,
                  const std::string& text) {
    std::ofstream(folder.file(name)) << text;
    return folder.file(name);
}

TEST(DocumentsCheck, KnowsEachKindInAnyOrder) {
    const auto check = check_documents({fixture, recipe, map});
    ASSERT_TRUE(check.good()) << document::text_of(check.diagnostics);
    ASSERT_EQ(check.documents.size(), 3u);
    EXPECT_EQ(check.documents[0].kind, DocumentKind::fixture_profile);
    EXPECT_EQ(check.documents[1].kind, DocumentKind::recipe);
    EXPECT_EQ(check.documents[2].kind, DocumentKind::register_map);
    ASSERT_EQ(check.plans.size(), 1u);
    EXPECT_EQ(check.plans[0].hash.size(), 64u);
}

TEST(DocumentsCheck, WarnsAtThePlaceOfADayThatHasPassed) {
    using namespace std::chrono;
    const auto day = [](int y, unsigned m, unsigned d) {
        return record::WallTime(sys_days(year(y) / m / d).time_since_epoch());
    };
    EXPECT_TRUE(check_documents({fixture}, day(2036, 9, 13)).warnings.empty());
    const auto check = check_documents({recipe, map, fixture}, day(2037, 1, 1));
    EXPECT_TRUE(check.good());
    EXPECT_EQ(check.plans.size(), 1u);
    ASSERT_EQ(check.warnings.size(), 1u);
    const auto& warning = check.warnings[0];
    EXPECT_EQ(warning.file, fixture);
    EXPECT_NE(warning.source_line.find("recalibration_due = 2036"), std::string::npos);
    EXPECT_GT(warning.column, 1);
    EXPECT_EQ(to_json(check).at("warnings").as_array().size(), 1u);
    EXPECT_TRUE(check_documents({fixture}).warnings.empty());
}

TEST(DocumentsCheck, KnowsADocumentBehindAByteOrderMark) {
    support::TemporaryFolder folder;
    std::ifstream in(map);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    const auto check = check_documents({write(folder, "bom.toml", "\xEF\xBB\xBF" + text)});
    EXPECT_TRUE(check.good()) << document::text_of(check.diagnostics);
    EXPECT_EQ(check.documents.at(0).kind, DocumentKind::register_map);
}

TEST(DocumentsCheck, ChecksOneDocumentByItself) {
    const auto check = check_documents({recipe});
    EXPECT_TRUE(check.good());
    EXPECT_TRUE(check.plans.empty());
    ASSERT_EQ(check.alone.size(), 1u);
    EXPECT_EQ(check.alone[0], recipe);
}

TEST(DocumentsCheck, ChecksARecipeWithEveryProfileOfItsProduct) {
    const std::string bench = root + "/fixtures/profiles/hob-bench-1-nest.toml";
    const std::string lamp_map = root + "/fixtures/units/lamp-panel-slider-wheel.toml";
    const auto check = check_documents({recipe, map, lamp_map, fixture, bench});
    ASSERT_TRUE(check.good()) << document::text_of(check.diagnostics);
    ASSERT_EQ(check.plans.size(), 2u);
    EXPECT_EQ(check.plans[0].fixture_path, fixture);
    EXPECT_EQ(check.plans[1].fixture_path, bench);
    EXPECT_TRUE(check.alone.empty());

    std::ifstream in(recipe);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    const auto limit = text.find("noise = \"at most");
    ASSERT_NE(limit, std::string::npos);
    text.replace(limit, text.find('\n', limit) - limit, "noise = \"at most 0.01 counts\"");
    const support::TemporaryFolder folder;
    EXPECT_FALSE(check_documents({write(folder, "r.toml", text), map, fixture, bench}).good());
}

TEST(DocumentsCheck, TellsProblemsOfAllDocumentsAtOnceAndEachOnce) {
    const support::TemporaryFolder folder;
    const auto check =
        check_documents({write(folder, "r.toml", "padtrim_recipe = 1\nrecipy = 'x'\n"),
                         write(folder, "f.toml", "padtrim_fixture = 1\nfixtur = 'x'\n"), map});
    EXPECT_FALSE(check.good());
    bool in_recipe = false, in_fixture = false;
    for (std::size_t i = 0; i < check.diagnostics.size(); ++i) {
        in_recipe |= check.diagnostics[i].file == folder.file("r.toml");
        in_fixture |= check.diagnostics[i].file == folder.file("f.toml");
        for (std::size_t j = 0; j < i; ++j) {
            EXPECT_NE(check.diagnostics[i], check.diagnostics[j]);
        }
    }
    EXPECT_TRUE(in_recipe && in_fixture);
}

TEST(DocumentsCheck, SaysWhatAStrangeFileIsNot) {
    const support::TemporaryFolder folder;
    const auto check = check_documents({write(folder, "notes.txt", "# padtrim_recipe = 1\nhello")});
    ASSERT_EQ(check.diagnostics.size(), 1u);
    EXPECT_EQ(check.documents[0].kind, DocumentKind::unknown);
    EXPECT_NE(check.diagnostics[0].mend.find("padtrim_recipe = 1"), std::string::npos);
}

TEST(DocumentsCheck, SaysWhichFileCannotBeRead) {
    const auto check = check_documents({"no/such/file.toml"});
    ASSERT_EQ(check.diagnostics.size(), 1u);
    EXPECT_EQ(check.diagnostics[0].file, "no/such/file.toml");
}

TEST(DocumentsCheck, AnswersAsJson) {
    const auto json = to_json(check_documents({recipe, map, fixture}));
    EXPECT_TRUE(json.at("good").as_bool());
    EXPECT_EQ(json.at("documents").at(1).at("kind").as_string(), "register map");
    EXPECT_EQ(json.at("plans").as_array().size(), 1u);
}

}  // namespace
}  // namespace padtrim::answers
