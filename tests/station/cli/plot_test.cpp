#include "station/cli/plot.hpp"

#include <limits>

#include <gtest/gtest.h>

#include "station/answers/printable.hpp"

namespace padtrim::cli {
namespace {

using namespace answers;

std::string joined(const Lines& lines) {
    std::string text;
    for (const auto& line : lines) text += line + "\n";
    return text;
}

Chart points(std::vector<Dot> dots) {
    Chart chart;
    chart.title = "gain";
    chart.sentence = "Said.";
    chart.x = {"order", "", Scale::order, {}};
    for (std::size_t i = 0; i < dots.size(); ++i) chart.x.names.push_back("U" + std::to_string(i));
    chart.y = {"gain", ""};
    chart.series = {{"gain", Shape::line, Stroke::continuous, std::move(dots)}};
    return chart;
}

TEST(Plot, PutsTheHighestOnTopAndNamesTheEnds) {
    const auto lines = plot_lines(points({{0.0, 10.0}, {1.0, 20.0}}), {60, Colours::plain}, 5);
    ASSERT_EQ(lines.size(), 1u + 5 + 1 + 1);
    EXPECT_EQ(lines[0], "gain");
    EXPECT_NE(lines[1].find("20 │"), std::string::npos) << lines[1];
    EXPECT_EQ(lines[1].back(), 'o') << "the last point is the highest";
    EXPECT_NE(lines[5].find("10 │o"), std::string::npos) << lines[5];
    EXPECT_NE(lines[6].find("U0"), std::string::npos);
    EXPECT_EQ(lines[6].substr(lines[6].size() - 2), "U1");
    EXPECT_EQ(lines[7], "Said.");
}

TEST(Plot, StrikesOutWhatSignalsAndSaysWhy) {
    const auto text = joined(
        plot_lines(points({{0.0, 1.0}, {1.0, 9.0, {}, {}, "U1: beyond"}}), {60, Colours::plain}));
    EXPECT_NE(text.find("╳"), std::string::npos);
    EXPECT_NE(text.find("╳ U1: beyond"), std::string::npos) << text;
}

TEST(Plot, DrawsLimitsByTheirKindAndLeavesFarOnesOut) {
    auto chart = points({{0.0, 1.0}, {1.0, 2.0}});
    chart.limits = {{"high", 2.5, LimitKind::specification},
                    {"mean", 1.5, LimitKind::centre},
                    {"far", 1e9, LimitKind::control}};
    const auto text = joined(plot_lines(chart, {60, Colours::plain}));
    EXPECT_NE(text.find("━━━━"), std::string::npos);
    EXPECT_NE(text.find("┄┄┄ ┄┄┄"), std::string::npos);
    EXPECT_EQ(text.find("╌"), std::string::npos);
}

TEST(Plot, StandsBarsOnZero) {
    auto chart = points({{0.0, 4.0}, {1.0, 8.0}, {2.0, 0.0}});
    chart.series[0].shape = Shape::bars;
    const auto lines = plot_lines(chart, {60, Colours::plain}, 9);
    EXPECT_NE(lines[9].find("0 │"), std::string::npos) << lines[9];
    EXPECT_NE(joined(lines).find("█"), std::string::npos);
}

// Nothing that a store can hold may end or hang the drawing.
TEST(Plot, LaysRankedBarsUnderOneAnotherWithTheirNotes) {
    auto chart = points(
        {{.x = 0.0, .y = 8.0, .note = "8 · 80.0 %"}, {.x = 1.0, .y = 2.0, .note = "2 · 100.0 %"}});
    chart.series[0].shape = Shape::ranked;
    const auto lines = plot_lines(chart, {60, Colours::plain}, 5);
    ASSERT_EQ(lines.size(), 1u + 2 + 1);
    EXPECT_EQ(lines[1].find("U0 │█"), 0u) << lines[1];
    EXPECT_NE(lines[1].find("█ 8 · 80.0 %"), std::string::npos) << lines[1];
    // A quarter as long (8 to 2), to a place.
    const auto long_one = columns(lines[1]) - columns("U0 │ 8 · 80.0 %");
    const auto short_one = columns(lines[2]) - columns("U1 │ 2 · 100.0 %");
    EXPECT_NEAR(static_cast<double>(long_one), 4.0 * static_cast<double>(short_one), 4.0);
}

TEST(Plot, SurvivesWhatCannotBeDrawn) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    constexpr double endless = std::numeric_limits<double>::infinity();
    for (const auto& dots : std::vector<std::vector<Dot>>{{},
                                                          {{0.0, none}},
                                                          {{none, 1.0}},
                                                          {{0.0, endless}, {1.0, 1.0}},
                                                          {{0.0, 5.0}},
                                                          {{0.0, 0.0}, {1.0, 0.0}},
                                                          {{0.0, 1e308}, {1.0, -1e308}}}) {
        for (const std::size_t width : {0u, 5u, 23u, 80u, 1000u}) {
            const auto lines = plot_lines(points(dots), {width, Colours::plain});
            EXPECT_GE(lines.size(), 2u);
        }
        auto bars = points(dots);
        bars.series[0].shape = Shape::bars;
        EXPECT_GE(plot_lines(bars, {80, Colours::plain}).size(), 2u);
    }
}

TEST(SheetText, ShowsTablesInColumnsAndLetsNoTextEscape) {
    Sheet sheet;
    sheet.title = "Yield";
    sheet.sentences = {"One sentence."};
    sheet.tables = {{"Lots",
                     {{"lot", "", false}, {"units", "1", true}},
                     {{TableCell("A\x1b[2J"), count_cell(7)}}}};
    const auto text = joined(sheet_text(sheet, {80, Colours::plain}));
    EXPECT_EQ(text.find('\x1b'), std::string::npos);
    EXPECT_NE(text.find("lot"), std::string::npos);
    EXPECT_NE(text.find("units"), std::string::npos);
    EXPECT_EQ(text.find("units, 1"), std::string::npos) << "a unit of 1 is left out";
    EXPECT_NE(text.find("A\\x1b[2J"), std::string::npos) << text;
}

}  // namespace
}  // namespace padtrim::cli
