#include "station/engine/lot_run.hpp"

#include <map>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/engine/rig.hpp"

namespace padtrim::engine {
namespace {

using ::testing::HasSubstr;
using testing::quick_plan;
using testing::Rig;

TEST(LotRun, CalibratesEveryUnitOfTheMagazine) {
    Rig rig;
    rig.station.fill_magazine(3);
    const LotOutcome outcome = rig.run();
    EXPECT_FALSE(outcome.station_fault) << outcome.reason;
    EXPECT_EQ(outcome.reason, "no more units");
    EXPECT_EQ(outcome.count, (record::LotCount{3, 3, 0, 0, 0, 0}));
    for (const auto& [serial, unit] : rig.station.all) {
        const auto* run = rig.last_run(serial);
        ASSERT_TRUE(run && run->unit);
        EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass) << run->unit->result.reason;
        EXPECT_EQ(run->stage(), record::WriteStage::verified);
        EXPECT_EQ(unit->in_memory.gain, run->intent->to_write.gain);
        EXPECT_EQ(unit->in_memory.offset, run->intent->to_write.offset);
        EXPECT_EQ(run->intent->as_found.gain.front(), 1 << 14);
        EXPECT_EQ(unit->boots, 2U);
    }
    EXPECT_TRUE(rig.station.safe());
    EXPECT_FALSE(rig.journal.lots.front().open);
}

TEST(LotRun, StopsReadingATouchAtTheLookThatDecides) {
    language::Plan plan = quick_plan();
    auto& touch = testing::body_of<language::TouchStep>(plan);
    touch.scans = 16;
    touch.looks = 4;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    rig.run();
    const auto* run = rig.last_run(rig.station.all.begin()->first);
    ASSERT_TRUE(run && run->unit);
    EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass) << run->unit->result.reason;
    std::size_t touches = 0, scans = 0;
    for (const auto& readings : run->unit->observations.readings) {
        const auto& finger = readings.situation.finger;
        if (readings.step != "touch" || !finger) continue;
        if (!finger->touching) {
            EXPECT_EQ(readings.scans.size(), 16U);
            continue;
        }
        ++touches;
        scans += readings.scans.size();
        EXPECT_EQ(readings.scans.size() % 4, 0U);
    }
    EXPECT_EQ(touches, 2U);
    EXPECT_GE(scans, touches * 4);
    EXPECT_LE(scans, touches * 8) << "half of what all looks would take";
}

TEST(LotRun, RecordsEveryStageInOrder) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.run();
    using record::WriteStage;
    EXPECT_EQ(rig.journal.runs.front().stages,
              (std::vector{WriteStage::intended, WriteStage::written, WriteStage::read_back,
                           WriteStage::committed, WriteStage::power_cycled, WriteStage::verified}));
}

TEST(LotRun, StopsAtTheNumberOfUnitsWanted) {
    Rig rig;
    rig.station.fill_magazine(5);
    rig.options.units = 2;
    EXPECT_EQ(rig.run().count.loaded, 2U);
    EXPECT_EQ(rig.station.magazine.size(), 3U);
}

TEST(LotRun, GoesOnWithTheLotWhereItStood) {
    Rig rig;
    rig.station.fill_magazine(5);
    rig.options.units = 2;
    rig.run();
    rig.options.units = 4;
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{4, 4, 0, 0, 0, 0}));
    EXPECT_EQ(rig.told<LotOpened>().front().count.loaded, 2U);
    EXPECT_EQ(rig.journal.runs.size(), 4U);  // the unit that lay in the nest was not run twice
}

TEST(LotRun, FailsAUnitAndGoesOn) {
    Rig rig;
    rig.station.fill_magazine(3);
    rig.station.unit("U2").gain = 500.0;
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{3, 2, 1, 0, 0, 0}));
    const auto* run = rig.last_run("U2");
    EXPECT_EQ(run->unit->result.verdict, record::Verdict::fail);
    EXPECT_EQ(run->stage(), record::WriteStage::untouched);
    EXPECT_EQ(rig.station.unit("U2").writes_begun, 0U);
    // Nothing after the failing step was done.
    EXPECT_EQ(run->unit->observations.steps_done.back(), "gain and offset");
}

TEST(LotRun, MeasuresOnButWritesNothingAfterAFailureThatGoesOn) {
    language::Plan plan = quick_plan();
    for (language::Step& step : plan.recipe.steps) step.on_failure = language::OnFailure::go_on;
    Rig rig(plan);
    rig.station.fill_magazine(1);
    rig.station.unit("U1").gain = 500.0;
    EXPECT_EQ(rig.run().count.fail, 1U);
    EXPECT_EQ(rig.last_run("U1")->unit->observations.steps_done.back(), "touch");
    EXPECT_EQ(rig.station.unit("U1").writes_begun, 0U);
}

TEST(LotRun, QuarantinesAUnitThatDoesNotHoldItsTrims) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.unit("U1").holds_writes = false;
    EXPECT_EQ(rig.run().count.fail, 1U);
    const auto* run = rig.last_run("U1");
    EXPECT_EQ(run->unit->result.disposition, record::Disposition::quarantined);
    EXPECT_EQ(run->stage(), record::WriteStage::written);
    EXPECT_EQ(rig.station.unit("U1").commits, 0U);
}

TEST(LotRun, QuarantinesAUnitThatForgetsItsTrimsAtPowerOff) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.unit("U1").commit_reaches_memory = false;
    EXPECT_EQ(rig.run().count.fail, 1U);
    const auto* run = rig.last_run("U1");
    EXPECT_EQ(run->unit->result.disposition, record::Disposition::quarantined);
    EXPECT_THAT(run->unit->result.reason, HasSubstr("power-off"));
}

TEST(LotRun, MeasureOnlyWritesNothingAndReleasesNothing) {
    Rig rig;
    rig.station.fill_magazine(2);
    rig.options.measure_only = true;
    EXPECT_EQ(rig.run().count.pass, 2U);
    const auto* run = rig.last_run("U1");
    EXPECT_EQ(run->unit->result.verdict, record::Verdict::pass);
    EXPECT_EQ(run->unit->result.disposition, record::Disposition::undecided);
    EXPECT_THAT(run->unit->result.reason, HasSubstr("Measured only"));
    EXPECT_EQ(run->unit->observations.steps_done.back(), "touch");
    EXPECT_EQ(rig.station.unit("U1").writes_begun + rig.station.unit("U1").commits, 0U);
    EXPECT_FALSE(run->intent);
}

TEST(LotRun, SetsAUnitOfAnotherProductAside) {
    Rig rig;
    rig.station.fill_magazine(2);
    rig.station.unit("U1").product_code = 7;
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{2, 1, 0, 0, 0, 1}));
    EXPECT_FALSE(outcome.station_fault);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 1U);
    EXPECT_THAT(rig.told<UnitSetAside>().front().next_step, HasSubstr("another lot"));
    EXPECT_EQ(rig.station.unit("U1").writes_begun, 0U);
    EXPECT_EQ(rig.last_run("U1"), nullptr);
}

TEST(LotRun, DoesNotRunAUnitTwiceThatHasPassed) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.magazine.push_back(rig.station.all.at("U1"));
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{1, 1, 0, 0, 0, 0}));
    EXPECT_EQ(rig.journal.runs.size(), 1U);
    EXPECT_EQ(rig.told<UnitSetAside>().size(), 1U);
}

TEST(LotRun, RunsARejectedUnitAgainWhenItIsLoadedAgain) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.unit("U1").gain = 500.0;
    rig.station.magazine.push_back(rig.station.all.at("U1"));
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(rig.journal.runs.size(), 2U);
    EXPECT_EQ(outcome.count, (record::LotCount{1, 0, 1, 0, 0, 0}));
}

TEST(LotRun, DoesNotRunAQuarantinedUnitAgain) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.unit("U1").commit_reaches_memory = false;
    rig.station.magazine.push_back(rig.station.all.at("U1"));
    rig.run();
    EXPECT_EQ(rig.journal.runs.size(), 1U);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 1U);
    EXPECT_THAT(rig.told<UnitSetAside>().front().reason, HasSubstr("quarantined"));
}

TEST(LotRun, AQuarantinedUnitIsSoInEveryLot) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.station.unit("U1").commit_reaches_memory = false;
    rig.options.units = 1;  // it stays in the nest
    rig.run();
    ASSERT_EQ(rig.journal.runs.size(), 1U);
    const unsigned writes = rig.station.unit("U1").writes_begun;
    rig.options.lot = "L2";
    EXPECT_EQ(rig.run().count, (record::LotCount{1, 0, 0, 0, 0, 1}));
    EXPECT_EQ(rig.journal.runs.size(), 1U);
    EXPECT_EQ(rig.station.unit("U1").writes_begun, writes);
}

TEST(LotRun, UnitsThatLieInNestsDoNotMakeTheLotLarger) {
    Rig rig(quick_plan({.nests = 3}));
    rig.station.fill_magazine(3);
    rig.options.units = 3;
    ASSERT_EQ(rig.run().count.loaded, 3U);
    rig.options.lot = "L2";
    rig.options.again = true;
    rig.options.units = 1;
    const LotOutcome outcome = rig.run();
    EXPECT_EQ(outcome.count, (record::LotCount{1, 1, 0, 0, 0, 0}));
    EXPECT_EQ(rig.journal.runs.size(), 4U);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 2U);
    EXPECT_THAT(rig.told<UnitSetAside>().front().reason, HasSubstr("has its 1 units"));
}

TEST(LotRun, SetsAsideWhatPassedInAnotherLotUnlessAskedNotTo) {
    Rig rig;
    rig.station.fill_magazine(1);
    ASSERT_EQ(rig.run().count.pass, 1U);
    rig.options.lot = "L2";
    rig.station.magazine.push_back(rig.station.all.at("U1"));
    EXPECT_EQ(rig.run().count, (record::LotCount{1, 0, 0, 0, 0, 1}));
    EXPECT_EQ(rig.journal.runs.size(), 1U);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 1U);
    EXPECT_TRUE(rig.told<UnitSetAside>().front().of_lot);
    EXPECT_EQ(rig.told<UnitSetAside>().front().reason,
              "The unit passed in lot L1 on 2026-01-01 already.");
    EXPECT_THAT(rig.told<UnitSetAside>().front().next_step, HasSubstr("runs passed units again"));
    rig.options.lot = "L3";
    rig.options.again = true;
    rig.station.magazine.push_back(rig.station.all.at("U1"));
    EXPECT_EQ(rig.run().count.pass, 1U);
}

TEST(LotRun, WhatWasSetAsideTakesOnePlaceHoweverOftenItIsLaidIn) {
    Rig rig;
    rig.station.fill_magazine(1);
    ASSERT_EQ(rig.run().count.pass, 1U);
    rig.options.lot = "L2";
    rig.options.units = 2;
    rig.station.magazine = {rig.station.all.at("U1"), rig.station.all.at("U1"),
                            rig.station.good_unit("U2")};
    EXPECT_EQ(rig.run().count, (record::LotCount{2, 1, 0, 0, 0, 1}));
    EXPECT_EQ(rig.told<UnitSetAside>().size(), 2U);
}

TEST(LotRun, UnitsOfAnotherLotThatLieInNestsTakeNoPlaceInThisOne) {
    Rig rig(quick_plan({.nests = 3}));
    rig.station.fill_magazine(6);
    rig.options.units = 3;
    ASSERT_EQ(rig.run().count.pass, 3U);
    rig.options.lot = "L2";
    EXPECT_EQ(rig.run().count, (record::LotCount{3, 3, 0, 0, 0, 0}));
    EXPECT_EQ(rig.journal.runs.size(), 6U);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 3U);
    EXPECT_FALSE(rig.told<UnitSetAside>().front().of_lot);
}

TEST(LotRun, TakesWhatPassedBeforeWhereNothingIsAdjustedOrADraftIsTried) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(2);
    rig.options.units = 2;
    ASSERT_EQ(rig.run().count.pass, 2U);
    rig.options.lot = "L-measured";
    rig.options.measure_only = true;
    EXPECT_EQ(rig.run().count.pass, 2U);
    rig.options.lot = "L-draft";
    rig.options.measure_only = false;
    rig.options.permission.kind = record::PermissionKind::draft;
    EXPECT_EQ(rig.run().count.pass, 2U);
    rig.options.lot = "L-next";
    rig.options.permission.kind = record::PermissionKind::none;
    EXPECT_EQ(rig.run().count.loaded, 0U) << "both passed in L1 still";
    EXPECT_THAT(rig.told<UnitSetAside>().front().reason, HasSubstr("passed in lot L1 on"));
}

TEST(LotRun, SetsAsideAUnitThatWasRunAsOftenAsTheRecipeAllows) {
    language::Plan plan = quick_plan({.handler = false});
    plan.recipe.runs_at_most = 2;
    Rig rig(plan);
    auto unit = rig.station.good_unit("U1");
    unit->gain = 0.0;  // dead
    rig.options.units = 1;
    rig.ask = [&](std::uint16_t nest) -> boost::asio::awaitable<std::optional<std::string>> {
        rig.station.put_into(nest, unit);
        co_return "";
    };
    for (const char* lot : {"L1", "L2"}) {
        rig.options.lot = lot;
        EXPECT_EQ(rig.run().count.fail, 1U) << lot;
    }
    rig.options.lot = "L3";
    rig.options.again = true;  // that is of passed units
    EXPECT_EQ(rig.run().count.removed, 1U);
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 1U);
    EXPECT_THAT(rig.told<UnitSetAside>()[0].reason, HasSubstr("run 2 times and did not pass"));
    EXPECT_THAT(rig.told<UnitSetAside>()[0].next_step, HasSubstr("a person decides"));
    rig.options.lot = "L4";
    rig.options.measure_only = true;  // an engineer looks
    EXPECT_EQ(rig.run().count.fail, 1U);
}

TEST(LotRun, SetsAsideAUnitWhoseLabelSaysAnotherSerialAndRunsItWhenItIsScannedItself) {
    Rig rig(quick_plan({.handler = false}));
    rig.options.units = 1;
    auto unit = rig.station.good_unit("U1");
    int asked = 0;
    rig.ask = [&](std::uint16_t nest) -> boost::asio::awaitable<std::optional<std::string>> {
        rig.station.put_into(nest, unit);
        co_return ++asked == 1 ? "U2" : "U1";
    };
    EXPECT_EQ(rig.run().count, (record::LotCount{1, 1, 0, 0, 0, 0}));
    ASSERT_EQ(rig.told<UnitSetAside>().size(), 1U);
    EXPECT_THAT(rig.told<UnitSetAside>()[0].reason, HasSubstr("U2 was scanned for nest 1"));
    EXPECT_EQ(rig.journal.runs.size(), 1U);
    EXPECT_EQ(rig.last_run("U1")->start.label, "U1");
    EXPECT_EQ(asked, 2);
}

TEST(LotRun, TwoNestsNeverShareTheFinger) {
    Rig rig(quick_plan({.nests = 3}));
    rig.station.fill_magazine(9);
    EXPECT_EQ(rig.run().count.pass, 9U);
    std::uint16_t holder = 0;
    std::size_t blocks = 0;
    for (const auto& move : rig.station.moves) {
        EXPECT_TRUE(move.nest == 0 || holder == 0 || move.nest == holder);
        if (move.nest != 0 && holder == 0) ++blocks;
        holder = move.nest;
    }
    EXPECT_EQ(blocks, 18U);  // touch and verify of nine units, each in one piece
}

TEST(LotRun, SaysThatANestWaitsForTheFingerThatAnotherHas) {
    Rig rig(quick_plan({.nests = 2}));
    rig.station.fill_magazine(2);
    rig.run();
    std::map<std::uint16_t, bool> at_keys;
    unsigned waited = 0;
    for (const StepProgress& now : rig.told<StepProgress>()) {
        at_keys[now.nest] = !now.key.empty();
        if (now.waits_for.empty()) continue;
        ++waited;
        EXPECT_EQ(now.waits_for, "the finger");
        EXPECT_TRUE(now.step == "touch" || now.step == "verify") << now.step;
        EXPECT_TRUE(at_keys[3 - now.nest]) << "the other nest is not at a key";
    }
    EXPECT_GE(waited, 1U);
}

TEST(LotRun, NestsOverlap) {
    const auto time_of = [](std::uint16_t nests) {
        language::Plan plan = quick_plan({.nests = nests});
        testing::body_of<language::VerifyStep>(plan).finger = false;
        Rig rig(plan);
        rig.station.fill_magazine(4);
        rig.run();
        return std::chrono::duration<double>(rig.clock.now().time_since_epoch()).count();
    };
    // Loading waits for a handler's time-out at the end of the lot, in every case the same.
    EXPECT_LT(time_of(4) - 5.0, 0.7 * (time_of(1) - 5.0));
}

TEST(LotRun, TellsHowMuchTimeIsLeft) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.run();
    const auto progress = rig.told<StepProgress>();
    ASSERT_GT(progress.size(), 20U);
    for (std::size_t i = 1; i < progress.size(); ++i)
        EXPECT_LE(progress[i].unit_left, progress[i - 1].unit_left) << progress[i].step;
    EXPECT_GT(progress.front().unit_left.count(), 1000);
    EXPECT_EQ(progress.front().step, "power");
    EXPECT_EQ(progress.back().serial, "U1");
}

TEST(LotRun, EveryScanIsUsedOnce) {
    Rig rig;
    rig.station.fill_magazine(1);
    rig.run();
    std::vector<std::uint32_t> counters;
    std::int64_t last_at = -1;
    for (const auto& readings : rig.last_run("U1")->unit->observations.readings)
        for (const auto& scan : readings.scans) {
            counters.push_back(scan.counter);
            EXPECT_GT(scan.at_us, last_at);
            last_at = scan.at_us;
        }
    const auto all = counters.size();
    counters.erase(std::unique(counters.begin(), counters.end()), counters.end());
    EXPECT_EQ(counters.size(), all);
    EXPECT_EQ(rig.station.unit("U1").counter, all);
}

}  // namespace
}  // namespace padtrim::engine
