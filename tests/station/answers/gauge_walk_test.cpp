// Ten units, each by every appraiser twice or more: common practice, no source.
#include "station/answers/gauge_walk.hpp"

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

ledger::RunSummary walk_run(const std::string& serial, std::uint16_t nest,
                            record::Verdict verdict = record::Verdict::pass) {
    ledger::RunSummary run;
    run.serial = serial;
    run.nest = nest;
    run.verdict = verdict;
    return run;
}

TEST(GaugeWalk, BeginsWithChoosingUnits) {
    const auto walk = gauge_walk({}, {1, 2});
    EXPECT_EQ(next_measurement(walk).substr(0, 16), "Choose ten units");
    EXPECT_FALSE(walk.whole());
    EXPECT_EQ(step_of(walk), GaugeStep::choose);
}

TEST(GaugeWalk, SaysWhichUnitComesIntoWhichNestNext) {
    std::vector<ledger::RunSummary> runs = {walk_run("A", 1), walk_run("A", 1)};
    EXPECT_EQ(next_measurement(gauge_walk(runs, {1, 2})), "Measure unit A in nest 2, loaded anew.");
    runs.push_back(walk_run("A", 2));
    runs.push_back(walk_run("A", 2, record::Verdict::no_verdict));
    const auto walk = gauge_walk(runs, {1, 2});
    EXPECT_EQ(walk.missing(), 1U) << "a run without a verdict measured nothing";
    EXPECT_EQ(step_of(walk), GaugeStep::again) << "as the sentence says";
    runs.push_back(walk_run("A", 2));
    EXPECT_EQ(next_measurement(gauge_walk(runs, {1, 2})), "Measure unit 2 of 10, in every nest.");
    EXPECT_EQ(step_of(gauge_walk(runs, {1, 2})), GaugeStep::first);
}

TEST(GaugeWalk, EndsWhenEveryCellIsFull) {
    std::vector<ledger::RunSummary> runs;
    for (int unit = 0; unit < 10; ++unit)
        for (int again = 0; again < 2; ++again)
            for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}, std::uint16_t{3}})
                runs.push_back(walk_run("U" + std::to_string(unit), nest));
    const auto walk = gauge_walk(runs, {1, 2, 3});
    EXPECT_TRUE(walk.whole());
    EXPECT_EQ(step_of(walk), GaugeStep::read);
    EXPECT_EQ(next_measurement(walk), "Read the result: the study is whole.");
    const auto table = table_of(walk);
    EXPECT_EQ(table.rows.size(), 10U);
    EXPECT_EQ(table.columns.size(), 5U);
    EXPECT_EQ(table.rows[3][4].value, 0.0);
}

TEST(GaugeWalk, LeavesOutUnitsWithoutANameAndNestsOfAnotherFixture) {
    const auto walk = gauge_walk({walk_run("", 1), walk_run("A", 7)}, {1, 2});
    EXPECT_TRUE(walk.units.empty());
}

}  // namespace
}  // namespace padtrim::answers
