// What every Journal promises (db/journal/journal.hpp), as tests that run on each of them. A test
// file includes this once and instantiates JournalContract with makers of empty journals.
#pragma once

#include <functional>
#include <memory>
#include <set>
#include <string>

#include <gtest/gtest.h>

#include "db/journal/journal.hpp"
#include "tests/support/await.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::support {

struct JournalMaker {
    std::string name;
    std::function<std::unique_ptr<journal::Journal>(boost::asio::io_context&)> make;
};

class JournalContract : public testing::TestWithParam<JournalMaker> {
  protected:
    template <class T>
    T run(journal::Task<T> task) {
        return await(context_, std::move(task));
    }
    record::LotId open(const record::LotStart& start = sample_lot()) {
        return run(journal_->open_lot(start)).value();
    }
    record::RunId start(record::LotId lot, const std::string& serial) {
        return run(journal_->start_run(sample_run(lot, serial))).value();
    }
    record::RunId start_and_finish(record::LotId lot, const std::string& serial,
                                   record::Verdict verdict) {
        const record::RunId id = start(lot, serial);
        EXPECT_TRUE(run(journal_->finish(id, sample_unit(verdict))));
        return id;
    }
    template <class T>
    void expect_refused(const journal::Stored<T>& result) {
        ASSERT_FALSE(result);
        EXPECT_EQ(result.error().kind, journal::StoreFaultKind::broken);
        EXPECT_FALSE(result.error().what.empty());
    }

    boost::asio::io_context context_;
    std::unique_ptr<journal::Journal> journal_ = GetParam().make(context_);
};

using record::Disposition;
using record::Verdict;
using record::WriteStage;

TEST_P(JournalContract, GoesOnWithALotOfTheSameNameStationAndPurpose) {
    const record::LotId lot = open();
    EXPECT_EQ(open(), lot);
    record::LotStart measure_only = sample_lot();
    measure_only.measure_only = true;
    const record::LotId other_purpose = open(measure_only);
    const record::LotId other_station = open(sample_lot("L-1", "S2"));
    const record::LotId other_name = open(sample_lot("L-2", "S1"));
    EXPECT_EQ((std::set{lot, other_purpose, other_station, other_name}).size(), 4U);
}

TEST_P(JournalContract, OpensAClosedLotAgainWithItsCounts) {
    const record::LotId lot = open();
    start_and_finish(lot, "A1", Verdict::pass);
    ASSERT_TRUE(run(journal_->close_lot(lot, at_second(90))));
    expect_refused(run(journal_->close_lot(lot, at_second(91))));
    expect_refused(run(journal_->start_run(sample_run(lot, "A2"))));
    EXPECT_EQ(open(), lot);
    EXPECT_EQ(run(journal_->count(lot)).value().pass, 1U);
    start(lot, "A2");
}

TEST_P(JournalContract, CountsEachUnitOnceByItsNewestEndedRun) {
    const record::LotId lot = open();
    start_and_finish(lot, "A1", Verdict::fail);
    start_and_finish(lot, "A1", Verdict::pass);
    start_and_finish(lot, "A2", Verdict::pass);
    start_and_finish(lot, "A2", Verdict::no_verdict);
    start_and_finish(lot, "A3", Verdict::inconclusive);
    start(lot, "A3");
    start(lot, "A4");
    const record::LotCount expected{3, 1, 0, 1, 1, 0};
    EXPECT_EQ(run(journal_->count(lot)).value(), expected);
}

TEST_P(JournalContract, TakesRunsWithoutASerialForUnitsOfTheirOwn) {
    const record::LotId lot = open();
    start_and_finish(lot, "", Verdict::no_verdict);
    start_and_finish(lot, "", Verdict::no_verdict);
    EXPECT_EQ(run(journal_->count(lot)).value().no_verdict, 2U);
    EXPECT_EQ(run(journal_->standing(lot, "")).value(), record::UnitStanding{});
}

TEST_P(JournalContract, CountsUnitsSetAsideAsRemovedUnlessTheyWereRun) {
    const record::LotId lot = open();
    start_and_finish(lot, "A1", Verdict::pass);
    for (const char* serial : {"A1", "B1", "B1", "", ""}) {
        const record::SetAside unit{lot, 1, serial, "label", "another product", at_second(5)};
        ASSERT_TRUE(run(journal_->set_aside(unit)));
    }
    const record::LotCount expected{4, 1, 0, 0, 0, 3};
    EXPECT_EQ(run(journal_->count(lot)).value(), expected);
    start_and_finish(lot, "B1", Verdict::fail);
    const record::LotCount after{4, 1, 1, 0, 0, 2};
    EXPECT_EQ(run(journal_->count(lot)).value(), after);
}

TEST_P(JournalContract, CountsOnlyTheLotThatIsAskedFor) {
    const record::LotId first = open(sample_lot("L-1"));
    const record::LotId second = open(sample_lot("L-2"));
    start_and_finish(first, "A1", Verdict::pass);
    start_and_finish(second, "A1", Verdict::fail);
    EXPECT_EQ(run(journal_->count(first)).value(), (record::LotCount{1, 1, 0, 0, 0, 0}));
    EXPECT_EQ(run(journal_->standing(first, "A1")).value().verdict, Verdict::pass);
    EXPECT_EQ(run(journal_->standing(second, "A1")).value().attempts, 1U);
}

TEST_P(JournalContract, TellsHowAUnitStands) {
    const record::LotId lot = open();
    EXPECT_EQ(run(journal_->standing(lot, "A1")).value(), record::UnitStanding{});
    start_and_finish(lot, "A1", Verdict::fail);
    start(lot, "A1");
    const record::UnitStanding standing = run(journal_->standing(lot, "A1")).value();
    EXPECT_EQ(standing.attempts, 2U);
    EXPECT_TRUE(standing.finished);
    EXPECT_EQ(standing.verdict, Verdict::fail);
    EXPECT_EQ(standing.disposition, Disposition::released);
    EXPECT_EQ(standing.reason, "Because of fail.");
}

TEST_P(JournalContract, TellsInWhichOtherLotOfProductionAUnitPassedLast) {
    record::LotStart draft = sample_lot("L-draft"), measured = sample_lot("L-measured");
    draft.permission.kind = record::PermissionKind::draft;
    measured.measure_only = true;
    record::LotStart other_product = sample_lot("L-other");
    other_product.product = "another panel";
    other_product.plan_hash = "0123";
    for (const auto& start : {draft, measured, other_product})
        start_and_finish(open(start), "A1", Verdict::pass);
    const record::LotId lot = open(sample_lot("L-now"));
    const auto standing_in = [&](record::LotId in) {
        return run(journal_->standing(in, "A1")).value();
    };
    EXPECT_EQ(standing_in(lot).passed_in, "");
    const record::LotId before = open(sample_lot("L-before"));
    start_and_finish(before, "A1", Verdict::pass);
    EXPECT_EQ(standing_in(lot).passed_in, "L-before");
    EXPECT_NE(standing_in(lot).passed_at, record::WallTime());
    EXPECT_FALSE(standing_in(lot).finished) << "in this lot";
    EXPECT_EQ(standing_in(before).passed_in, "") << "its own lot says so otherwise";
    start_and_finish(open(measured), "A1", Verdict::pass);
    EXPECT_EQ(standing_in(lot).passed_in, "L-before") << "looked at since, and nothing was wrong";
    start_and_finish(open(measured), "A1", Verdict::fail);
    EXPECT_EQ(standing_in(lot).passed_in, "");
}

TEST_P(JournalContract, CountsAUnitsRunsInProductionSinceItLastPassed) {
    record::LotStart draft = sample_lot("L-draft"), measured = sample_lot("L-measured");
    draft.permission.kind = record::PermissionKind::draft;
    measured.measure_only = true;
    const record::LotId first = open(sample_lot("L-first")), next = open(sample_lot("L-next"));
    const auto not_passed = [&] { return run(journal_->standing(next, "A1")).value().not_passed; };
    EXPECT_EQ(not_passed(), 0U);
    start_and_finish(first, "A1", Verdict::fail);
    start_and_finish(first, "A2", Verdict::fail);
    start_and_finish(first, "A1", Verdict::no_verdict);
    start_and_finish(open(draft), "A1", Verdict::fail);
    start_and_finish(open(measured), "A1", Verdict::fail);
    EXPECT_EQ(not_passed(), 1U) << "the station's own faults, drafts and looks do not count";
    start_and_finish(next, "A1", Verdict::inconclusive);
    EXPECT_EQ(not_passed(), 2U);
    start_and_finish(next, "A1", Verdict::pass);
    EXPECT_EQ(not_passed(), 0U);
    start_and_finish(next, "A1", Verdict::fail);
    EXPECT_EQ(not_passed(), 1U);
}

TEST_P(JournalContract, KeepsOddSerialsApart) {
    const record::LotId lot = open();
    for (const std::string& serial : odd_serials()) start_and_finish(lot, serial, Verdict::pass);
    for (const std::string& serial : odd_serials()) {
        const std::uint32_t attempts = run(journal_->standing(lot, serial)).value().attempts;
        EXPECT_EQ(attempts, serial.empty() ? 0U : 1U) << testing::PrintToString(serial);
    }
    EXPECT_EQ(run(journal_->count(lot)).value().loaded, odd_serials().size());
}

TEST_P(JournalContract, ListsRunsThatNeverEndedOldestFirstWithTheirStage) {
    const record::LotId lot = open();
    const record::RunId untouched = start(lot, "A1");
    const record::RunId half_written = start(lot, "A2");
    start_and_finish(lot, "A3", Verdict::pass);
    start(open(sample_lot("L-1", "S2")), "A4");
    ASSERT_TRUE(run(journal_->intend(half_written, sample_intent())));
    ASSERT_TRUE(run(journal_->reached(half_written, WriteStage::written)));
    const auto found = run(journal_->unfinished("S1")).value();
    ASSERT_EQ(found.size(), 2U);
    const record::UnfinishedRun first{untouched,    lot, "L-1", "A1", 1, WriteStage::untouched,
                                      at_second(10)};
    EXPECT_EQ(found[0], first);
    EXPECT_EQ(found[1].run, half_written);
    EXPECT_EQ(found[1].stage, WriteStage::written);
    EXPECT_TRUE(run(journal_->unfinished("S3")).value().empty());
}

TEST_P(JournalContract, SettlesARunWithoutVerdictAndOnlyOnce) {
    const record::LotId lot = open();
    const record::RunId id = start(lot, "A1");
    ASSERT_TRUE(run(journal_->intend(id, sample_intent())));
    ASSERT_TRUE(run(journal_->settle(id, Disposition::quarantined, "half-written", at_second(99))));
    EXPECT_TRUE(run(journal_->unfinished("S1")).value().empty());
    const record::UnitStanding standing = run(journal_->standing(lot, "A1")).value();
    const record::UnitStanding expected{1, true, Verdict::no_verdict, Disposition::quarantined,
                                        "half-written"};
    EXPECT_EQ(standing, expected);
    EXPECT_EQ(run(journal_->count(lot)).value().no_verdict, 1U);
    expect_refused(run(journal_->settle(id, Disposition::scrap, "again", at_second(99))));
    expect_refused(run(journal_->finish(id, sample_unit())));
}

TEST_P(JournalContract, LetsTheWriteBackOnlyGoForward) {
    const record::RunId id = start(open(), "A1");
    expect_refused(run(journal_->reached(id, WriteStage::written)));
    ASSERT_TRUE(run(journal_->intend(id, sample_intent())));
    expect_refused(run(journal_->intend(id, sample_intent())));
    ASSERT_TRUE(run(journal_->reached(id, WriteStage::written)));
    expect_refused(run(journal_->reached(id, WriteStage::written)));
    ASSERT_TRUE(run(journal_->reached(id, WriteStage::committed)));
    expect_refused(run(journal_->reached(id, WriteStage::read_back)));
    EXPECT_EQ(run(journal_->unfinished("S1")).value().at(0).stage, WriteStage::committed);
}

TEST_P(JournalContract, RefusesAnEndThatContradictsTheWriteBack) {
    const record::RunId id = start(open(), "A1");
    record::UnitRecord unit = sample_unit();
    unit.write_stage = WriteStage::verified;
    expect_refused(run(journal_->finish(id, unit)));  // nothing was intended
    ASSERT_TRUE(run(journal_->intend(id, sample_intent())));
    unit.write_stage = WriteStage::untouched;
    expect_refused(run(journal_->finish(id, unit)));  // it may be half-written
    EXPECT_EQ(run(journal_->unfinished("S1")).value().size(), 1U);
    unit.write_stage = WriteStage::verified;
    EXPECT_TRUE(run(journal_->finish(id, unit)));
}

TEST_P(JournalContract, RefusesWhatItDoesNotKnow) {
    expect_refused(run(journal_->count(7)));
    expect_refused(run(journal_->close_lot(7, at_second(1))));
    expect_refused(run(journal_->set_aside(record::SetAside{7, 1, "", "", "", at_second(1)})));
    expect_refused(run(journal_->start_run(sample_run(7, "A1"))));
    expect_refused(run(journal_->intend(7, sample_intent())));
    expect_refused(run(journal_->reached(7, WriteStage::written)));
    expect_refused(run(journal_->finish(7, sample_unit())));
    expect_refused(run(journal_->settle(7, Disposition::scrap, "", at_second(1))));
}

}  // namespace padtrim::support
