#include "station/answers/failure_map.hpp"

#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::Stage;
using record::Verdict;

class FailuresOnThePanel : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1", false, language::plan_text(*test_support::hob_plan()));
        for (int i = 0; i < 4; ++i) unit(i, "front", "gain", Stage::as_found);
        unit(4, "timer", "gain", Stage::as_found);
        unit(5, "timer", "touch response", Stage::as_left);
        unit(6, "", "supply current", Stage::as_found);
        for (int i = 7; i < 20; ++i) unit(i, "", "", Stage::as_found);
    }
    // Passes where no check is named.
    void unit(int i, const std::string& key, const std::string& check, Stage stage) {
        const bool fails = !check.empty();
        ledger.unit({"U" + std::to_string(i),
                     {{fails ? check : "gain", 1.0, stage, key, 0.0, 2.0,
                       fails ? Verdict::fail : Verdict::pass}},
                     1,
                     fails ? Verdict::fail : Verdict::pass,
                     100 + i});
    }
    FailureMap map() { return failure_map(ledger.reader(), {}).value(); }
    test_support::QualityLedger ledger;
};

TEST_F(FailuresOnThePanel, StandAtTheirKeys) {
    auto figure = panel_of(map());
    const auto at = [&](const std::string& key) {
        for (const auto& place : figure.places)
            if (place.key == key) return place;
        return PanelPlace{};
    };
    EXPECT_EQ(at("front").value, "4");
    EXPECT_DOUBLE_EQ(at("front").tone, 1.0);
    EXPECT_EQ(at("timer").value, "2");
    EXPECT_DOUBLE_EQ(at("timer").tone, 0.5);
    EXPECT_EQ(at("timer").detail, "gain 1, touch response as left 1");
    EXPECT_EQ(at("plus").value, "");
    EXPECT_DOUBLE_EQ(at("plus").tone, 0.0);
}

TEST_F(FailuresOnThePanel, CountEveryRejectedUnitOnce) {
    const auto sheet = sheet_of(map());
    EXPECT_EQ(sheet.sentences.at(0),
              "7 units of 20 rejected at their first try, each at the first check that failed.");
    ASSERT_EQ(sheet.tables.at(0).rows.size(), 4U);
    EXPECT_EQ(sheet.tables[0].rows[0][0].text, "front");
    double rejected = 0.0;
    for (const auto& row : sheet.tables[0].rows) rejected += row[3].value.value();
    EXPECT_DOUBLE_EQ(rejected, 7.0);
}

TEST_F(FailuresOnThePanel, AreNotDrawnWithoutUnits) {
    QualityWish wish;
    wish.station = "another";
    const auto empty = failure_map(ledger.reader(), wish).value();
    EXPECT_EQ(empty.units, 0U);
    EXPECT_TRUE(sheet_of(empty).panels.empty());
}

}  // namespace
}  // namespace padtrim::answers
