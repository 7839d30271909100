#include "station/cli/live_view.hpp"

#include <set>

#include <gtest/gtest.h>

#include "station/answers/printable.hpp"
#include "station/cli/line_types.hpp"

namespace padtrim::cli {
namespace {

using namespace std::chrono_literals;
using answers::Mark;

language::RegisterMap eight_keys() {
    language::RegisterMap map;
    for (int i = 0; i < 8; ++i) {
        language::Key key;
        key.name = std::to_string(i + 1);
        key.x = Millimetre(20 + 22 * (i % 4));
        key.y = Millimetre(i < 4 ? 42 : 20);
        key.width = key.height = Millimetre(14);
        map.keys.push_back(key);
    }
    return map;
}

answers::StationStatus busy(std::uint16_t nests) {
    answers::StationStatus status;
    apply(status, engine::LotOpened{"2231", {}});
    for (std::uint16_t nest = 1; nest <= nests; ++nest) {
        apply(status, engine::UnitIdentified{nest, "HOB8-0041" + std::to_string(nest)});
        apply(status, engine::StepProgress{nest, "HOB8-0041" + std::to_string(nest), "touch", "4",
                                           31, 46, 9000ms});
    }
    return status;
}

// Escape sequences take no column.
std::string bare(const std::string& text) {
    std::string result;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\x1b') {
            i = text.find('m', i);
        } else {
            result += text[i];
        }
    }
    return result;
}

std::string whole(const std::vector<std::string>& lines) {
    std::string text;
    for (const auto& line : lines) text += bare(line) + '\n';
    return text;
}

TEST(LiveFrame, FitsAnyTerminal) {
    for (std::uint16_t nests = 0; nests <= 8; ++nests) {
        auto status = busy(nests);
        for (int i = 0; i < 500; ++i) status.tape.push_back({"S", 1, Mark::pass});
        for (const TerminalSize size :
             {TerminalSize{80, 24}, {200, 60}, {40, 10}, {20, 5}, {1, 1}}) {
            const auto frame = live_frame(status, eight_keys(), size, Colours::full);
            EXPECT_LE(frame.size(), size.rows);
            for (const auto& line : frame) {
                EXPECT_LE(answers::columns(bare(line)), size.columns) << line;
            }
        }
    }
}

TEST(LiveFrame, DrawsPanelsWhereThereIsRoomAndLinesWhereThereIsNot) {
    const auto status = busy(4);
    EXPECT_NE(whole(live_frame(status, eight_keys(), {120, 40}, Colours::none)).find("┌4"),
              std::string::npos);
    const auto usual = whole(live_frame(status, eight_keys(), {80, 24}, Colours::none));
    EXPECT_NE(usual.find("┌──"), std::string::npos) << usual;
    const auto small = whole(live_frame(status, eight_keys(), {60, 12}, Colours::none));
    EXPECT_EQ(small.find("┌─"), std::string::npos) << small;
    EXPECT_NE(small.find("HOB8-00414"), std::string::npos) << small;
}

TEST(LiveFrame, SaysUnitStepKeyAndTimeLeft) {
    const auto text = whole(live_frame(busy(1), eight_keys(), {100, 30}, Colours::none));
    for (const char* part : {"HOB8-00411", "touch", "key 4", "31 of 46", "9 s", "Lot 2231"}) {
        EXPECT_NE(text.find(part), std::string::npos) << part << '\n' << text;
    }
}

TEST(LiveFrame, LetsTheTimeLeftRunDownButNotBelowZero) {
    auto status = busy(1);
    pass_time(status, 4s);
    EXPECT_EQ(status.nests[0].left, 5s);
    pass_time(status, 60s);
    EXPECT_EQ(status.nests[0].left, 0s);
}

TEST(LiveFrame, UsesNoColourWhenNoneIsWanted) {
    for (const auto& line : live_frame(busy(2), eight_keys(), {100, 30}, Colours::none)) {
        EXPECT_EQ(line.find("38;"), std::string::npos);
    }
}

TEST(LiveFrame, SaysTheSameWordsInColourAndWithout) {
    const auto status = busy(3);
    EXPECT_EQ(whole(live_frame(status, eight_keys(), {100, 30}, Colours::none)),
              whole(live_frame(status, eight_keys(), {100, 30}, Colours::full)));
}

TEST(LiveFrame, AnOddSerialCannotMoveTheCursor) {
    answers::StationStatus status;
    apply(status, engine::LotOpened{"L\x1b[2J", {}});
    apply(status, engine::UnitIdentified{1, "A\x1b[10;10HB\n"});
    for (const auto& line : live_frame(status, eight_keys(), {100, 30}, Colours::none)) {
        EXPECT_EQ(line.find("[2J"), line.find("x1b[2J") == std::string::npos
                                        ? std::string::npos
                                        : line.find("x1b[2J") + 3);
        EXPECT_EQ(line.find("\x1b[10"), std::string::npos);
        EXPECT_EQ(line.find('\n'), std::string::npos);
    }
}

// https://no-color.org: "when present and not an empty string".
TEST(ColoursFor, FollowsTheTerminalAndTheWishForNone) {
    EXPECT_EQ(colours_for(nullptr, "truecolor", "xterm-256color"), Colours::full);
    EXPECT_EQ(colours_for("", "24bit", "xterm"), Colours::full);
    EXPECT_EQ(colours_for(nullptr, nullptr, "xterm-256color"), Colours::palette);
    EXPECT_EQ(colours_for(nullptr, nullptr, "vt100"), Colours::none);
    EXPECT_EQ(colours_for("1", "truecolor", "xterm-256color"), Colours::none);
    EXPECT_EQ(colours_for(nullptr, "truecolor", "dumb"), Colours::none);
}

// Okabe and Ito, "Color Universal Design" (2008): blue 0, 114, 178; vermilion 213, 94, 0.
TEST(Styled, UsesTheOkabeItoColours) {
    EXPECT_EQ(styled("x", {Ink::live, false}, Colours::full), "\x1b[38;2;0;114;178mx\x1b[0m");
    EXPECT_EQ(styled("x", {Ink::stop, true}, Colours::full), "\x1b[1;38;2;213;94;0mx\x1b[0m");
    EXPECT_EQ(styled("x", {Ink::plain, false}, Colours::full), "x");
}

TEST(Tape, MarksAreToldApartWithoutColour) {
    std::set<char32_t> glyphs;
    for (const Mark mark : {Mark::running, Mark::pass, Mark::fail, Mark::inconclusive,
                            Mark::no_verdict, Mark::quarantined, Mark::removed, Mark::paused}) {
        EXPECT_TRUE(glyphs.insert(tape_glyph(mark)).second) << name_of(mark);
    }
    std::string legend;
    for (const auto& line : tape_legend({}, 200, Colours::none)) legend += line;
    for (const char* word :
         {"pass", "fail", "inconclusive", "no verdict", "quarantined", "running"}) {
        EXPECT_NE(legend.find(word), std::string::npos);
    }
}

TEST(Tape, HoldsEveryUnitOnceInTens) {
    std::vector<answers::TapeMark> tape(25, {"S", 1, Mark::pass});
    tape[10].mark = Mark::fail;
    const auto lines = tape_lines(tape, 22, Colours::none);
    ASSERT_EQ(lines.size(), 2u);
    EXPECT_EQ(lines[0], "┃┃┃┃┃┃┃┃┃┃ ╳┃┃┃┃┃┃┃┃┃");
    EXPECT_EQ(lines[1], "┃┃┃┃┃");
    EXPECT_TRUE(tape_lines({}, 80, Colours::none).empty());
}

TEST(Wrapped, BreaksBetweenWordsAndCutsALongOne) {
    EXPECT_EQ(wrapped("one two three", 7), (std::vector<std::string>{"one two", "three"}));
    EXPECT_EQ(wrapped("abcdefgh i", 4), (std::vector<std::string>{"abcd", "i"}));
    EXPECT_EQ(wrapped("one two three", 5, 1), (std::vector<std::string>{"one"}));
}

}  // namespace
}  // namespace padtrim::cli
