#include "station/cli/fitted_table.hpp"

#include <gtest/gtest.h>

namespace padtrim::cli {
namespace {

using Rows = std::vector<std::vector<std::string>>;

Lines drawn(const Rows& rows, const std::vector<Side>& sides, std::size_t width) {
    const Paper paper{width, Colours::plain};
    return fitted_table(rows, sides, paper);
}

// What a reader gets who joins all words again.
std::size_t words_in(const Lines& lines, const std::string& word) {
    std::size_t count = 0;
    for (const auto& line : lines)
        for (std::size_t at = line.find(word); at != std::string::npos;
             at = line.find(word, at + 1))
            ++count;
    return count;
}

void expect_within(const Lines& lines, std::size_t width) {
    for (const auto& line : lines) EXPECT_LE(answers::columns(line), width) << line;
}

TEST(FittedTable, StandsAsItIsWhereThereIsRoom) {
    const auto lines = drawn({{"lot", "units"}, {"A", "7"}}, {Side::left, Side::right}, 80);
    EXPECT_EQ(lines, (Lines{"lot  units", "A        7"}));
}

TEST(FittedTable, FoldsHeadingsBeforeWords) {
    const auto lines = drawn({{"points to a false alarm", "what"}, {"370", "a word or two"}},
                             {Side::right, Side::left}, 26);
    expect_within(lines, 26);
    EXPECT_EQ(lines.back(), std::string(lines.back().find('3'), ' ') + "370  a word or two");
    EXPECT_GT(lines.size(), 2u) << "the heading is folded";
}

TEST(FittedTable, FoldsTheWidestWordsAndNeverANumber) {
    const Rows rows = {{"unit", "why", "value"},
                       {"HOB8-00418", "the worn pin of nest two was replaced by hand", "412.125"}};
    const auto lines = drawn(rows, {Side::left, Side::left, Side::right}, 48);
    expect_within(lines, 48);
    EXPECT_EQ(words_in(lines, "412.125"), 1u);
    EXPECT_EQ(words_in(lines, "HOB8-00418"), 1u);
    EXPECT_EQ(lines.size(), 3u) << "heading, and a row of two lines";
}

TEST(FittedTable, PutsANumberAboveItsInterval) {
    const auto lines =
        drawn({{"nest", "first-pass yield", "units"}, {"nest 1", "85.7 % (48.7 to 97.4 %)", "7"}},
              {Side::left, Side::right, Side::right}, 31);
    EXPECT_EQ(lines, (Lines{"nest    first-pass yield  units", "nest 1            85.7 %      7",
                            "        (48.7 to 97.4 %)"}));
}

TEST(FittedTable, NamesABlockByACellWithoutAHeading) {
    const auto lines =
        drawn({{"", "units"}, {"a lot with a name", "7"}}, {Side::left, Side::right}, 12);
    EXPECT_EQ(lines, (Lines{"a lot with a", "name", "units:  7"}));
}

TEST(FittedTable, StacksWhatWouldBeTooHigh) {
    Rows rows(3);
    std::vector<Side> sides;
    for (int column = 0; column < 12; ++column) {
        rows[0].push_back("column " + std::to_string(column));
        rows[1].push_back("2026-03-01T08:15:00Z");
        rows[2].push_back("second" + std::to_string(column));
        sides.push_back(Side::left);
    }
    for (const std::size_t width : {80u, 120u}) {
        const auto lines = drawn(rows, sides, width);
        expect_within(lines, width);
        ASSERT_EQ(lines.size(), 25u) << "two blocks of twelve lines with a blank one between";
        EXPECT_EQ(lines[0], "column 0:   2026-03-01T08:15:00Z");
        EXPECT_EQ(lines[12], "");
        EXPECT_EQ(lines[24], "column 11:  second11");
    }
}

TEST(FittedTable, LetsALongListReadAsAParagraph) {
    std::string places;
    for (int i = 100; i < 180; ++i) places += (i == 100 ? "" : " ") + std::to_string(i);
    const auto lines = drawn({{"lot", "units"}, {"L-1", places}}, {Side::left, Side::left}, 80);
    expect_within(lines, 80);
    EXPECT_EQ(lines[0], "lot  units");
    for (int i = 100; i < 180; ++i) EXPECT_EQ(words_in(lines, std::to_string(i)), 1u) << i;
}

// However narrow a terminal is and whatever a label holds, every character is shown.
TEST(FittedTable, LosesNoCharacterOnAnyPaper) {
    const std::string label = "ä" + std::string(70, 'x') + "ö";
    for (const std::size_t width : {0u, 1u, 7u, 20u, 79u}) {
        const auto lines = drawn({{"", "serial"}, {"", label}}, {Side::left, Side::left}, width);
        EXPECT_EQ(words_in(lines, "x"), 70u) << width;
        EXPECT_EQ(words_in(lines, "ö"), 1u) << width;
        if (width >= 20) expect_within(lines, width);
    }
    EXPECT_TRUE(drawn({{"a", "b"}}, {Side::left, Side::left}, 0).size() <= 1u) << "no rows";
}

}  // namespace
}  // namespace padtrim::cli
