#include "station/answers/sheet_tables.hpp"

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

Sheet sheet_with_all() {
    Sheet sheet;
    sheet.tables = {{"first", {}, {}}, {"second", {}, {}}};
    sheet.charts.push_back({"gain", "", "", {}, {}});
    sheet.charts[0].table.title = "of the chart";
    PanelFigure panel;
    panel.id = "panel";
    panel.table.title = "of the panel";
    panel.charts.push_back({"small", "", "", {}, {}});
    panel.charts[0].table.title = "of the small one";
    sheet.panels.push_back(panel);
    sheet.tapes.push_back({"tape", "of the tape", "", {{"U1", "pass"}}});
    return sheet;
}

TEST(SheetTables, AreFoundByTheNameOfTheirFigure) {
    const auto sheet = sheet_with_all();
    EXPECT_EQ(table_named(sheet, "")->title, "first");
    EXPECT_EQ(table_named(sheet, "table-2")->title, "second");
    EXPECT_EQ(table_named(sheet, "gain")->title, "of the chart");
    EXPECT_EQ(table_named(sheet, "panel")->title, "of the panel");
    EXPECT_EQ(table_named(sheet, "small")->title, "of the small one");
    EXPECT_EQ(table_named(sheet, "tape")->rows.size(), 1U);
    EXPECT_FALSE(table_named(sheet, "table-3"));
    EXPECT_FALSE(table_named({}, ""));
}

}  // namespace
}  // namespace padtrim::answers
