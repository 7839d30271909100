#include "station/answers/frozen_charts.hpp"

#include <cmath>
#include <set>

#include <boost/asio/io_context.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

// Fixed scatter about 400 that no rule signals: ten values that go up and down, twice over.
double quiet(int i) {
    constexpr double around[] = {0.4, -0.9, 0.7, -0.2, 1.1, -1.0, 0.2, -0.6, 0.9, -0.4};
    return 400.0 + around[i % 10];
}

class Frozen : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        for (int i = 0; i < 20; ++i) unit(quiet(i));
    }
    void unit(double gain) {
        ledger.unit({"U" + std::to_string(units_),
                     {{"gain", gain}},
                     1,
                     record::Verdict::pass,
                     100 + 10 * units_});
        ++units_;
    }
    template <class T>
    T done(journal::Task<journal::Stored<T>> task) {
        auto result = support::await(context_, std::move(task));
        EXPECT_TRUE(result) << (result ? "" : result.error().what);
        return result.value();
    }
    ControlAnswer charts(ControlWish wish = {}) {
        return control_answer(ledger.reader(), wish).value();
    }
    void freeze(ControlWish wish = {}) {
        wish.use_frozen = false;
        auto frozen =
            charts_to_freeze(charts(wish), wish, "qa", "first month", support::at_second(900));
        ASSERT_EQ(frozen.size(), 1u);
        const auto kept =
            support::await(context_, ledger.ledger().freeze_charts(std::move(frozen)));
        ASSERT_TRUE(kept);
    }
    std::size_t look() {
        return done(look_and_keep(ledger.ledger(), ledger.reader(), support::at_second(2000)));
    }
    AlarmsAnswer alarms(bool open_only = true) {
        return alarms_answer(ledger.reader(), open_only).value();
    }
    test_support::QualityLedger ledger;

  private:
    boost::asio::io_context context_;
    int units_ = 0;
};

TEST_F(Frozen, KeepTheirLimitsWhateverComesLater) {
    freeze();
    const auto before = charts().places.at(0);
    ASSERT_TRUE(before.frozen);
    EXPECT_EQ(before.frozen->who, "qa");
    EXPECT_EQ(before.frozen->points, 20u);
    for (int i = 0; i < 5; ++i) unit(420.0);
    const auto after = charts().places.at(0);
    EXPECT_EQ(after.lines[0].points[0].high, before.lines[0].points[0].high);
    ControlWish anew;
    anew.use_frozen = false;
    EXPECT_NE(charts(anew).places.at(0).lines[0].points[0].high, before.lines[0].points[0].high);
    EXPECT_EQ(to_json(charts()).at("places").at(0).at("frozen").at("who").as_string(), "qa");
}

// Centre and sigma of the baseline give the very limits that the baseline gave.
TEST_F(Frozen, HaveTheLimitsThatWereShown) {
    for (const auto kind : {ControlKind::individuals, ControlKind::means_and_ranges,
                            ControlKind::means_and_deviations}) {
        ControlWish wish;
        wish.kind = kind;
        wish.use_frozen = false;
        const auto shown = charts(wish).places.at(0);
        freeze(wish);
        const auto frozen = charts().places.at(0);
        ASSERT_EQ(frozen.lines.size(), shown.lines.size()) << name_of(kind);
        for (std::size_t line = 0; line < shown.lines.size(); ++line) {
            EXPECT_NEAR(frozen.lines[line].points[0].low, shown.lines[line].points[0].low, 1e-6);
            EXPECT_NEAR(frozen.lines[line].points[0].high, shown.lines[line].points[0].high, 1e-6);
        }
    }
}

TEST_F(Frozen, RaiseAnAlarmOnceHoweverOftenTheyAreLookedAt) {
    freeze();
    EXPECT_EQ(look(), 0u);
    unit(quiet(0));
    unit(390.0);
    EXPECT_EQ(look(), 2u) << "the value, and its moving range";
    EXPECT_EQ(look(), 0u);
    for (int i = 0; i < 3; ++i) unit(quiet(i));
    EXPECT_EQ(look(), 0u) << "the moving range on the way back goes on with the alarm";
    unit(390.0);
    EXPECT_EQ(look(), 2u) << "another one";
    const auto found = alarms();
    ASSERT_EQ(found.alarms.size(), 4u);
    EXPECT_EQ(found.alarms[3].serial, "U21");
    EXPECT_EQ(found.alarms[3].value, 390.0);
    EXPECT_EQ(found.alarms[3].chart.check, "gain");
    EXPECT_EQ(to_json(found).at("alarms").as_array().size(), 4u);
    EXPECT_EQ(sheet_of(found).tables.at(0).rows.size(), 4u);
}

// What a page shows of a lot is what became an alarm, though the lot begins in the middle of a run
// of points on one side.
TEST_F(Frozen, ShowTheSignalsThatBecameAlarms) {
    freeze();
    for (int i = 0; i < 5; ++i) unit(400.3 + 0.1 * i);
    ledger.lot("L-2");
    for (int i = 0; i < 6; ++i) unit(400.3 + 0.1 * i);
    look();
    ControlWish second;
    second.values.runs.lot = "L-2";
    const auto shown = charts(second).places.at(0);
    ASSERT_TRUE(shown.frozen);
    EXPECT_EQ(shown.lines.at(0).points.size(), 6u) << "none of what went before";
    EXPECT_EQ(shown.lines.at(1).points.size(), 6u) << "the range to the unit before, too";
    std::set<std::string> struck;  // the first of each
    for (const auto& line : shown.lines)
        for (std::size_t i = 0; i < line.points.size(); ++i)
            if (!line.points[i].signal.empty() && (i == 0 || line.points[i - 1].signal.empty()))
                struck.insert(line.points[i].label);
    std::set<std::string> alarmed;
    for (const auto& alarm : alarms().alarms)
        if (alarm.lot == "L-2") alarmed.insert(alarm.serial);
    EXPECT_FALSE(alarmed.empty()) << "the eighth on one side is the third of L-2";
    EXPECT_EQ(struck, alarmed);
    EXPECT_EQ(sheet_of(charts(second)).charts.at(0).table.rows.size(), 6u);
}

// Neither the first value of all nor the first after the freezing has a moving range.
TEST_F(Frozen, StandWithTheirRangesUnderTheirValues) {
    freeze();
    unit(quiet(0));
    unit(quiet(1));
    const auto sheet = sheet_of(charts());
    ASSERT_EQ(sheet.charts.size(), 2u);
    const auto& ranges = sheet.charts.at(1).series.at(0).dots;
    ASSERT_EQ(ranges.size(), 20u) << "19 and 1, of 22 values";
    EXPECT_EQ(ranges.front().x, 1.0);
    EXPECT_EQ(ranges.at(18).x, 19.0);
    EXPECT_EQ(ranges.back().x, 21.0);
    EXPECT_NEAR(ranges.back().y, std::abs(quiet(1) - quiet(0)), 1e-9);
}

TEST_F(Frozen, AreQuietAboutTheUnitsTheyCameFrom) {
    unit(370.0);
    for (int i = 0; i < 5; ++i) unit(quiet(i));
    freeze();
    EXPECT_EQ(look(), 0u);
}

TEST_F(Frozen, HaveAlarmsThatPeopleReplyTo) {
    freeze();
    unit(quiet(0));
    unit(390.0);
    look();
    const auto first = alarms().alarms.back().id;
    const record::AlarmReply reply{support::at_second(3000), "qa", "worn pin, replaced"};
    boost::asio::io_context context;
    ASSERT_TRUE(support::await(context, ledger.ledger().reply_to_alarm(first, reply)));
    EXPECT_EQ(alarms().alarms.size(), 1u);
    const auto all = alarms(false);
    ASSERT_EQ(all.alarms.size(), 2u);
    EXPECT_EQ(all.alarms.back().reply, reply);
    EXPECT_FALSE(support::await(context, ledger.ledger().reply_to_alarm(99, reply)));
    record::AlarmReply nameless = reply;
    nameless.who.clear();
    EXPECT_FALSE(support::await(context, ledger.ledger().reply_to_alarm(first, nameless)));
}

TEST_F(Frozen, AreReplacedByNewerOnesOfTheirPlace) {
    freeze();
    ControlWish sums;
    sums.kind = ControlKind::sums;
    freeze(sums);
    ASSERT_EQ(alarms().charts.size(), 1u);
    EXPECT_EQ(alarms().charts[0].chart.kind, "sums");
    const auto place = charts().places.at(0);
    EXPECT_EQ(place.lines.at(0).title, "sum upwards");
    // Half a sigma more than the slack, and half again: the sums reach 5 after some ten units.
    for (int i = 0; i < 30; ++i) unit(quiet(i) + 1.5 * place.frozen->sigma);
    EXPECT_GT(look(), 0u);
    EXPECT_NE(alarms().alarms.back().signal.find("the process is higher"), std::string::npos);
}

}  // namespace
}  // namespace padtrim::answers
