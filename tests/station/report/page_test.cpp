#include "station/report/page.hpp"

#include <gtest/gtest.h>

#include "station/charts/scripts.hpp"

namespace padtrim::report {
namespace {

using namespace answers;

std::size_t times(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
        ++count;
    return count;
}

Chart small_chart(const std::string& title) {
    Chart chart;
    chart.id = id_of(title);
    chart.title = title;
    chart.sentence = "One point.";
    chart.series = {{"value", Shape::line, Stroke::continuous, {{0.0, 1.0, {}, {}, "odd"}}}};
    chart.table = {title, {{"x", "", true}}, {{number_cell(1.0)}}};
    return chart;
}

Report small_report(const std::string& word) {
    Report report;
    report.title = "Lot " + word;
    report.block = {{"lot", word}, {"by", word}};
    Sheet sheet;
    sheet.title = "Yield " + word;
    sheet.sentences = {word};
    sheet.tables = {{word, {{word, word, false}}, {{TableCell(word)}}}};
    sheet.charts = {small_chart(word), small_chart("second")};
    PanelFigure panel;
    panel.id = "panel";
    panel.title = word;
    panel.places = {{word, true, 1.0, 1.0, 1.0, 1.0, word}};
    sheet.tapes = {{"tape", word, word, {{word, word}}}};
    panel.table = sheet.tables[0];
    sheet.panels = {panel};
    report.sheets = {sheet, sheet};
    return report;
}

// What a serial number, a lot's name or a recipe may hold. The checks are those of any page: an
// element or an attribute that a text opens is a way in (common practice, no source).
TEST(ReportPage, LetsNoTextFromOutsideBecomeMarkup) {
    const std::string hostile =
        "<img src=x onerror=alert(1)>\"'&</script><script>alert(2)</script>";
    const std::string page = page_of(small_report(hostile));
    EXPECT_EQ(page.find("<img src=x"), std::string::npos);
    EXPECT_EQ(page.find("<script>alert"), std::string::npos);
    EXPECT_NE(page.find("&lt;img src=x onerror=alert(1)&gt;&quot;&#39;&amp;"), std::string::npos);
    // The figures, the library, the drawing and its start; nothing ends one early.
    EXPECT_EQ(times(page, "<script"), 4u);
    EXPECT_EQ(times(page, "</script>"), 4u);
}

TEST(ReportPage, ShowsControlCharactersAndBrokenText) {
    EXPECT_EQ(escaped("a\x1b[2J"), "a\\x1b[2J");
    EXPECT_EQ(escaped("\xff"), "\\xff");
    EXPECT_EQ(escaped("1 < 2 & \"3\""), "1 &lt; 2 &amp; &quot;3&quot;");
}

TEST(ReportPage, HasATableForEveryFigure) {
    const std::string page = page_of(small_report("A"));
    EXPECT_EQ(times(page, "<figure"), 8u);
    EXPECT_EQ(times(page, "<details><summary>Table"), 8u);
    EXPECT_EQ(times(page, "data-figure="), 8u);
    EXPECT_EQ(times(page, "<ol type=\"a\" class=\"remarks\">"), 4u) << "what the letters mean";
}

TEST(ReportPage, NeedsNothingFromOutsideAndMayNotAskForIt) {
    const std::string page = page_of(small_report("A"));
    EXPECT_NE(page.find("default-src 'none'"), std::string::npos);
    for (const char* loads : {"<link", "<iframe", "@import", "src=\"http", "<script src"})
        EXPECT_EQ(page.find(loads), std::string::npos) << loads;
}

TEST(ReportPage, WritesAMinusAndLeavesAUnitOfOneOut) {
    Report report;
    report.sheets.resize(1);
    report.sheets[0].tables = {{"", {{"margin", "1", true}}, {{number_cell(-0.25)}}}};
    const std::string page = page_of(report);
    EXPECT_NE(page.find("\u22120.25</td>"), std::string::npos);
    EXPECT_NE(page.find("margin</th>"), std::string::npos);
}

TEST(ReportPage, PutsATitleBlockOnEverySheet) {
    const std::string page = page_of(small_report("A"));
    EXPECT_EQ(times(page, "<section class=\"sheet\">"), 2u);
    EXPECT_EQ(times(page, "<div class=\"block\">"), 2u);
    EXPECT_EQ(times(page, "<h1>"), 1u);
}

TEST(ReportPage, CarriesTheScriptsThatDraw) {
    EXPECT_GT(charts::library_script().size(), 500'000u);
    EXPECT_NE(charts::library_script().find("Apache License"), std::string_view::npos);
    EXPECT_NE(charts::drawing_script().find("padtrimDrawing"), std::string_view::npos);
    EXPECT_EQ(charts::drawing_script().substr(0, 2), "//");
}

}  // namespace
}  // namespace padtrim::report
