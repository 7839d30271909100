// Questions about a lot in a real ledger file.
#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "station/answers/lot_report.hpp"
#include "station/answers/unit_history.hpp"
#include "station/answers/yield_report.hpp"
#include "tests/station/answers/stored_lot.hpp"

namespace padtrim::answers {
namespace {

using record::Disposition;
using record::Verdict;
using test_support::StoredLot;

TEST(LotReport, IsNothingForALotThatIsNotThere) {
    StoredLot lot;
    const auto report = lot_report(lot.reader(), "another");
    ASSERT_TRUE(report);
    EXPECT_FALSE(report.value());
}

TEST(LotReport, PutsUnitsThatWantTheSameActTogether) {
    StoredLot lot;
    lot.unit("A", Verdict::pass);
    lot.unit("B", Verdict::fail, Disposition::rework, "Check the glue at key 8.");
    lot.unit("C", Verdict::fail, Disposition::rework, "Check the supply.");
    lot.unit("D", Verdict::fail, Disposition::rework, "Check the glue at key 8.");
    lot.unit("E", Verdict::no_verdict, Disposition::quarantined, "Keep it.");
    const auto report = lot_report(lot.reader(), "L-1").value();
    ASSERT_TRUE(report);
    ASSERT_EQ(report->groups.size(), 3u);
    EXPECT_EQ(report->groups[0].serials, (std::vector<std::string>{"B", "D"}));
    EXPECT_EQ(report->groups[0].mark, Mark::fail);
    EXPECT_EQ(report->groups[2].mark, Mark::quarantined);
    EXPECT_EQ(report->lot.count.loaded, 5u);
}

TEST(LotReport, JudgesAUnitByItsNewestRun) {
    StoredLot lot;
    lot.unit("A", Verdict::fail, Disposition::rework);
    lot.unit("A", Verdict::pass);
    const auto report = lot_report(lot.reader(), "L-1").value();
    EXPECT_TRUE(report->groups.empty());
    EXPECT_EQ(report->tape.size(), 2u) << "the tape has every run";
    ASSERT_TRUE(report->yield);
    EXPECT_EQ(report->yield->first_pass.part, 0u);
    EXPECT_EQ(report->yield->final_pass.part, 1u);
}

TEST(LotReport, KeepsUnitsWithoutASerialApart) {
    StoredLot lot;
    lot.unit("", Verdict::no_verdict, Disposition::undecided, "Run it again.");
    lot.unit("", Verdict::no_verdict, Disposition::undecided, "Run it again.");
    const auto report = lot_report(lot.reader(), "L-1").value();
    ASSERT_EQ(report->groups.size(), 1u);
    EXPECT_EQ(report->groups[0].serials.size(), 2u);
}

TEST(LotReport, ShowsRunningAndRemovedUnitsOnTheTape) {
    StoredLot lot;
    lot.unit("A", Verdict::inconclusive, Disposition::undecided);
    lot.running("B");
    lot.aside("C", "another product");
    lot.aside("A", "comes again");
    const auto report = lot_report(lot.reader(), "L-1").value();
    ASSERT_EQ(report->tape.size(), 3u);
    EXPECT_EQ(report->tape[0].mark, Mark::inconclusive);
    EXPECT_EQ(report->tape[1].mark, Mark::running);
    EXPECT_EQ(report->tape[2].mark, Mark::removed);
    ASSERT_EQ(report->set_aside.size(), 1u);
    EXPECT_EQ(report->set_aside[0].reason, "another product");
    const auto tape = lot_tape(lot.reader(), "L-1").value();
    EXPECT_EQ(tape.size(), 2u);
}

TEST(LotReport, JsonHoldsTheBooksAndTheLines) {
    StoredLot lot;
    lot.unit("A", Verdict::pass);
    lot.unit("B", Verdict::fail, Disposition::rework);
    const auto json = to_json(*lot_report(lot.reader(), "L-1").value());
    EXPECT_EQ(json.at("count").at("loaded").to_number<int>(), 2);
    EXPECT_EQ(json.at("lines").as_array().size(), 2u);
    EXPECT_EQ(json.at("yield").at("first_pass").at("part").to_number<int>(), 1);
    EXPECT_EQ(json.at("failures").as_array().size(), 1u);
    EXPECT_NEAR(json.at("lines").at(0).at("gain").at("mean").to_number<double>(), 812.4, 1e-9);
    EXPECT_NEAR(
        json.at("lines").at(0).at("gain").at("mean_standard_uncertainty").to_number<double>(), 0.3,
        1e-12);
}

TEST(UnitHistory, HasEveryRunWithItsTrimsAndChecks) {
    StoredLot lot;
    lot.unit("A", Verdict::fail, Disposition::rework);
    lot.unit("A", Verdict::pass);
    const auto history = unit_history(lot.reader(), "A").value();
    ASSERT_EQ(history.runs.size(), 2u);
    EXPECT_EQ(history.runs[0].stored.summary.verdict, Verdict::fail);
    const auto json = to_json(history);
    const auto& newest = json.at("runs").at(1);
    EXPECT_EQ(newest.at("attempt").to_number<int>(), 2);
    EXPECT_EQ(newest.at("trims").at(0).at("moment").as_string(), "as found");
    EXPECT_EQ(newest.at("result").at("checks").as_array().size(), 2u);
    EXPECT_EQ(newest.at("started").as_string(), "2031-03-04T00:00:10.000Z");
}

TEST(UnitHistory, IsEmptyForAnUnknownUnitAndSafeForOddSerials) {
    StoredLot lot;
    EXPECT_TRUE(unit_history(lot.reader(), "nobody").value().runs.empty());
    for (const auto& serial : support::odd_serials()) {
        if (serial.empty()) continue;
        StoredLot odd;
        odd.unit(serial, Verdict::pass);
        const auto history = unit_history(odd.reader(), serial);
        ASSERT_TRUE(history) << serial.substr(0, 40);
        EXPECT_EQ(history.value().runs.size(), 1u) << serial.substr(0, 40);
    }
}

// Newcombe 1998, Table I, method 3 (Wilson without continuity correction): 81 of 263 is
// 0.2553 to 0.3662; here only that the answer carries the room's own interval to the reader.
TEST(YieldReport, CarriesCountsAndIntervals) {
    StoredLot lot;
    for (int i = 0; i < 3; ++i) lot.unit("P" + std::to_string(i), Verdict::pass);
    lot.unit("F", Verdict::fail, Disposition::rework);
    lot.unit("N", Verdict::no_verdict, Disposition::undecided);
    const auto lines = yield_report(lot.reader(), {}, ledger::YieldBy::lot).value();
    ASSERT_EQ(lines.size(), 1u);
    ASSERT_TRUE(lines[0].yield);
    EXPECT_EQ(lines[0].row.count.units, 4u);
    EXPECT_EQ(lines[0].row.count.without_verdict, 1u);
    EXPECT_DOUBLE_EQ(lines[0].yield->first_pass.value, 0.75);
    // Wilson's interval of 3 of 4 at 95 %: (p + z2/2n -+ z sqrt(p(1-p)/n + z2/4n2)) / (1 + z2/n)
    // with z = 1.95996 gives 0.3006 and 0.9544 (computed by hand).
    EXPECT_EQ(share_text(lines[0].yield->first_pass), "75.0 % (30.1 to 95.4 %)");
    const auto json = to_json(*lines[0].yield);
    EXPECT_NEAR(json.at("first_pass").at("wilson_95").at("low").to_number<double>(), 0.3006, 5e-5);
}

TEST(YieldReport, HasNoYieldWithoutAVerdict) {
    StoredLot lot;
    lot.unit("N", Verdict::no_verdict, Disposition::undecided);
    const auto lines = yield_report(lot.reader(), {}, ledger::YieldBy::everything).value();
    for (const auto& line : lines) EXPECT_FALSE(line.yield);
}

}  // namespace
}  // namespace padtrim::answers
