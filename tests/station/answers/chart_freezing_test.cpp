// What is in the way of keeping charts, each as padtrim chart --freeze and the page refuse it.
#include "station/answers/chart_freezing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/answers/frozen_charts.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using ::testing::HasSubstr;

class ChartFreezing : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        for (int i = 0; i < 20; ++i)
            ledger.unit({"U" + std::to_string(i),
                         {{"gain", 400.0 + (i * 7) % 5}, {"noise", 3.0}},
                         1,
                         record::Verdict::pass,
                         100 + 10 * i});
        wish.use_frozen = false;
        wish.values.check = "gain";
        charts = control_answer(ledger.reader(), wish).value();
    }
    Freezing freezing() {
        return freezing_of(of, wish, charts, "qa", "first month", support::at_second(900));
    }
    std::vector<std::int64_t> in_force(const std::vector<record::FrozenChart>& at) {
        return in_force_at(ledger.reader().frozen_charts().value(), at);
    }
    test_support::QualityLedger ledger;
    QualityWords of;
    ControlWish wish;
    ControlAnswer charts;
};

TEST_F(ChartFreezing, KeepsTheChartsWithTheirPerson) {
    const auto done = freezing();
    EXPECT_EQ(done.wrong, "");
    ASSERT_EQ(done.charts.size(), 1u);
    EXPECT_EQ(done.charts[0].who, "qa");
    EXPECT_EQ(done.charts[0].why, "first month");
    EXPECT_EQ(done.charts[0].points, 20u);
    EXPECT_THAT(frozen_sentence(done.charts), HasSubstr("1 chart frozen for recipe "));
}

TEST_F(ChartFreezing, RefusesAPartOfTheStations) {
    for (const auto narrow : {0, 1, 2}) {
        of = {};
        if (narrow == 0) of.nest = 1;
        if (narrow == 1) of.station = "S1";
        if (narrow == 2) of.fixture = "F1";
        EXPECT_THAT(freezing().wrong, HasSubstr("Leave nest, station and fixture out."));
        EXPECT_TRUE(freezing().charts.empty());
    }
}

TEST_F(ChartFreezing, RefusesSeveralRevisionsMeansOfDaysAndShares) {
    charts.several_revisions = true;
    EXPECT_THAT(freezing().wrong, HasSubstr("several revisions"));
    charts.several_revisions = false;
    charts.by_day = true;
    EXPECT_THAT(freezing().wrong, HasSubstr("mean of a day"));
    charts.by_day = false;
    wish.kind = ControlKind::share;
    EXPECT_THAT(freezing().wrong, HasSubstr("A chart of shares cannot be frozen"));
}

// Values without scatter have no limits.
TEST_F(ChartFreezing, RefusesWhereNoChartHasLimits) {
    wish.values.check = "noise";
    charts = control_answer(ledger.reader(), wish).value();
    EXPECT_THAT(freezing().wrong, HasSubstr("No chart has limits"));
}

TEST_F(ChartFreezing, NamesTheChartsInForceAtItsPlaces) {
    const auto kept = freezing().charts;
    EXPECT_TRUE(in_force(kept).empty());
    boost::asio::io_context context;
    ASSERT_TRUE(support::await(context, ledger.ledger().freeze_charts(kept)));
    const auto first = in_force(kept);
    ASSERT_EQ(first.size(), 1u);
    ASSERT_TRUE(support::await(context, ledger.ledger().freeze_charts(kept)));
    EXPECT_GT(in_force(kept).at(0), first.at(0)) << "the newest is in force";
    auto elsewhere = kept;
    elsewhere[0].channel = 7;
    EXPECT_TRUE(in_force(elsewhere).empty());
}

}  // namespace
}  // namespace padtrim::answers
