#include "recipes/document/toml.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>

#include "recipes/document/document.hpp"

namespace padtrim::document {
namespace {

Node root_of(const std::string& text) {
    auto parsed = parse_toml(text, "a.toml");
    EXPECT_TRUE(parsed.problems.empty()) << text_of(parsed.problems);
    return std::move(parsed.root);
}

Diagnostic problem_of(const std::string& text) {
    const auto parsed = parse_toml(text, "a.toml");
    EXPECT_EQ(parsed.problems.size(), 1U) << text;
    return parsed.problems.empty() ? Diagnostic{} : parsed.problems.front();
}

TEST(Toml, ReadsEveryKindOfValue) {
    const Node root = root_of(
        "a = true\nb = 0x10\nc = 1.5\nd = \"x\"\ne = 2026-03-31\nf = [1]\n"
        "g = { h = 1 }\n");
    EXPECT_TRUE(std::get<bool>(root.find("a")->value));
    EXPECT_EQ(std::get<std::int64_t>(root.find("b")->value), 16);
    EXPECT_EQ(std::get<double>(root.find("c")->value), 1.5);
    EXPECT_EQ(std::get<std::string>(root.find("d")->value), "x");
    EXPECT_EQ(std::get<Date>(root.find("e")->value).text, "2026-03-31");
    EXPECT_EQ(std::get<List>(root.find("f")->value).size(), 1U);
    EXPECT_NE(root.find("g")->find("h"), nullptr);
    EXPECT_EQ(root.find("z"), nullptr);
    EXPECT_EQ(root.find("a")->find("z"), nullptr);
}

TEST(Toml, KeepsTheOrderAndPlacesOfTheDocument) {
    const Node root = root_of("zebra = 1\napple = 2\n  mango = 3\n");
    const auto& table = std::get<Table>(root.value);
    ASSERT_EQ(table.size(), 3U);
    EXPECT_EQ(table[0].key, "zebra");
    EXPECT_EQ(table[2].key, "mango");
    EXPECT_EQ(table[2].place, (Place{3, 3}));
    EXPECT_EQ(table[2].node.place, (Place{3, 11}));
}

TEST(Toml, SaysWhereItCouldNotReadOn) {
    const auto problem = problem_of("a = 1\nb = = 2\n");
    EXPECT_EQ(problem.file, "a.toml");
    EXPECT_EQ(problem.line, 2);
    EXPECT_EQ(problem.source_line, "b = = 2");
    EXPECT_TRUE(problem.message.starts_with("this is not TOML: ")) << problem.message;
}

TEST(Toml, RefusesLinesThatNoDocumentOfOursHas) {
    // Ten thousand nested tables would overflow the parser's stack.
    std::string deep = "a";
    for (int i = 0; i < 100000; ++i) deep += ".a";
    EXPECT_EQ(problem_of("x = 1\n" + deep + " = 1\n").line, 2);
    EXPECT_EQ(problem_of(std::string(200000, '[')).line, 1);
}

TEST(Toml, RefusesBytesThatAreNoText) {
    EXPECT_EQ(problem_of("a = \"\xff\xfe\"\n").line, 1);
    EXPECT_EQ(problem_of(std::string("a = \0 1\n", 8)).line, 1);
}

TEST(TomlText, ReadsBackAsTheSameTree) {
    const std::string text =
        "flag = true\nwhole = -3\nreal = 2.0\ntext = \"a \\\"b\\\" \\\\ \\u000A\"\n"
        "day = 2026-03-31\nlist = [1, 2]\nrows = [\n    { a = 1 },\n"
        "    { a = 2 },\n]\n\n[table]\n\"odd key\" = 1\n\n[table.inner]\nx = 0.1\n";
    EXPECT_EQ(toml_text(root_of(text)), text);
    EXPECT_EQ(toml_text(root_of(toml_text(root_of(text)))), text);
}

TEST(TomlText, KeepsAPointInReals) {
    Table table;
    table.push_back({"a", {}, Node{3.0, {}}});
    EXPECT_EQ(toml_text(Node{table, {}}), "a = 3.0\n");
    EXPECT_TRUE(std::holds_alternative<double>(root_of("a = 3.0").find("a")->value));
}

TEST(NumberText, IsTheShortestThatReadsBack) {
    EXPECT_EQ(number_text(0.1), "0.1");
    EXPECT_EQ(number_text(4000000.0), "4000000");
    EXPECT_EQ(number_text(1e-6), "0.000001");
    EXPECT_EQ(number_text(-0.0), "-0");
    for (const double value : {0.1 + 0.2, 1.0 / 3.0, 5e-324, 1.7976931348623157e308, 1e22})
        EXPECT_EQ(std::strtod(number_text(value).c_str(), nullptr), value);
}

TEST(LineOf, CountsFromOneAndDropsTheEnd) {
    EXPECT_EQ(line_of("a\r\nb\nc", 1), "a");
    EXPECT_EQ(line_of("a\r\nb\nc", 2), "b");
    EXPECT_EQ(line_of("a\r\nb\nc", 3), "c");
    EXPECT_EQ(line_of("a\n", 9), "");
}

TEST(Path, LeadsToANodeOrTheNearestAboveIt) {
    const Node root = root_of("[[step]]\ndo = \"a\"\n[[step]]\ndo = \"b\"\n");
    EXPECT_EQ(nearest_node(root, "step[1].do").place, (Place{4, 6}));
    EXPECT_EQ(nearest_node(root, "step[1].missing").place, (Place{3, 1}));
    EXPECT_EQ(nearest_node(root, "step[7].do").kind(), "a list");
    EXPECT_EQ(nearest_node(root, "nothing.at.all").place, (Place{1, 1}));
    EXPECT_EQ(nearest_node(root, "").place, (Place{1, 1}));
    EXPECT_EQ(nearest_node(root, "step[").kind(), "a list");
}

TEST(Path, IsWithinItselfAndWhatStandsAbove) {
    EXPECT_TRUE(path_within("step[1].do", "step"));
    EXPECT_TRUE(path_within("step[1].do", "step[1]"));
    EXPECT_TRUE(path_within("step", "step"));
    EXPECT_TRUE(path_within("step", ""));
    EXPECT_FALSE(path_within("steps", "step"));
    EXPECT_FALSE(path_within("step[1]", "step[10]"));
    EXPECT_FALSE(path_within("step", "step[1]"));
}

TEST(Document, TrustsWhatNobodyComplainedAbout) {
    Document document("a.toml", "[a]\nb = 1\nc = 2\n");
    EXPECT_TRUE(document.clean());
    document.complain("a.b", "wrong", "Mend it.");
    EXPECT_FALSE(document.clean());
    EXPECT_FALSE(document.sound("a.b"));
    EXPECT_FALSE(document.sound("a"));
    EXPECT_FALSE(document.sound(""));
    EXPECT_TRUE(document.sound("a.c"));
    document.mistrust("a.c");
    EXPECT_FALSE(document.sound("a.c"));
    document.give_up();
    EXPECT_FALSE(document.sound("z"));
}

TEST(Document, ListsProblemsInItsOwnOrder) {
    Document document("a.toml", "[a]\nb = 1\nc = 2\n");
    document.complain("a.c", "second", "Mend it.");
    document.complain("a.b", "first", "Mend it.");
    const auto all = document.diagnostics();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0].message, "first");
    EXPECT_EQ(all[0].source_line, "b = 1");
    EXPECT_EQ(all[1].line, 3);
}

TEST(Document, ThatCannotBeParsedIsNowhereSound) {
    const Document document("a.toml", "= 1");
    EXPECT_FALSE(document.clean());
    EXPECT_FALSE(document.sound("anything"));
}

}  // namespace
}  // namespace padtrim::document
