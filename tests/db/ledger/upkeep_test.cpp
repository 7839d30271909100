// Old observations removed, decisions that are refused, lots reconciled, downtime.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>

#include "db/ledger/verify_records.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using record::Disposition;
using record::Verdict;
using support::at_second;
using testing::HasSubstr;

class Upkeep : public OpenLedger {
  protected:
    record::RunId put(const std::string& serial, std::int64_t ended,
                      Verdict verdict = Verdict::pass,
                      Disposition disposition = Disposition::released) {
        const auto id = run(ledger_->start_run(support::sample_run(lot_, serial))).value();
        record::UnitRecord unit = support::sample_unit(verdict, disposition);
        unit.write_stage = record::WriteStage::untouched;
        unit.finished = at_second(ended);
        run(ledger_->finish(id, unit)).value();
        return id;
    }
    record::Removal removal(std::int64_t ended_before) {
        record::Removal wanted;
        wanted.ended_before = at_second(ended_before);
        wanted.who = "QA";
        wanted.why = "older than the plant keeps them";
        wanted.at = at_second(10'000);
        return wanted;
    }
    std::string refusal(record::RunId id, Disposition disposition, const std::string& who = "QA",
                        const std::string& why = "looked at") {
        const auto decided = run(ledger_->decide(id, disposition, who, why, at_second(500)));
        return decided ? "" : decided.error().what;
    }
    const record::LotId lot_ = run(ledger_->open_lot(support::sample_lot())).value();
};

TEST_F(Upkeep, RemovesOldObservationsAndKeepsTheirResultsAndTheChain) {
    std::vector<record::RunId> runs;
    for (int i = 0; i < 450; ++i) runs.push_back(put("A" + std::to_string(i), 100 + i));
    const auto removed = run(ledger_->remove_observations(removal(100 + 420))).value();
    EXPECT_EQ(removed.runs, 420U);
    EXPECT_GT(removed.bytes, 420U * 100);
    EXPECT_EQ(reader_->removals().value().size(), 3U) << "in acts of some hundred";
    std::uint64_t told = 0;
    for (const record::Removal& each : reader_->removals().value()) {
        told += each.runs;
        EXPECT_EQ(each.who, "QA");
        EXPECT_EQ(each.at, at_second(10'000));
    }
    EXPECT_EQ(told, 420U);
    const StoredRun old = reader_->stored_run(runs[419]).value().value();
    EXPECT_FALSE(old.observations);
    EXPECT_EQ(old.result, support::sample_unit().result);
    EXPECT_TRUE(reader_->stored_run(runs[420]).value().value().observations);
    EXPECT_EQ(reader_->runs({}).value().size(), 30U) << "those with observations";
    const ChainReport chain = verify_records(path_).value();
    EXPECT_TRUE(chain.sound()) << chain.findings[0].what;
    EXPECT_EQ(run(ledger_->remove_observations(removal(520))).value().runs, 0U);
}

TEST_F(Upkeep, RemovesNothingThatIsNotOldOrThatNobodyAnswersFor) {
    const record::RunId id = put("A1", 100);
    record::Removal nobody = removal(200);
    nobody.who = "";
    EXPECT_FALSE(run(ledger_->remove_observations(nobody)));
    record::Removal future = removal(20'000);
    EXPECT_THAT(run(ledger_->remove_observations(future)).error().what, HasSubstr("of the past"));
    EXPECT_EQ(run(ledger_->remove_observations(removal(100))).value().runs, 0U);
    // A tool is held to the same.
    SQLite::Database tool(path_, SQLite::OPEN_READWRITE);
    EXPECT_THROW(tool.exec("DELETE FROM observation"), SQLite::Exception);
    tool.exec("INSERT INTO observation_removal VALUES (1, 5, 9, 'x', 'y')");
    tool.exec("INSERT INTO removed_observation VALUES (" + std::to_string(id) + ", 1, 0)");
    EXPECT_THROW(tool.exec("DELETE FROM observation"), SQLite::Exception) << "ended later";
    EXPECT_TRUE(reader_->stored_run(id).value().value().observations);
}

TEST_F(Upkeep, TakesARemovalThatWasNotTheStationsForATheft) {
    put("A1", 100);
    SQLite::Database(path_, SQLite::OPEN_READWRITE)
        .exec(
            "INSERT INTO observation_removal VALUES (1, 4000000000000, 4000000000000, 'x', 'y');"
            "INSERT INTO removed_observation VALUES (1, 1, 0); DELETE FROM observation");
    const ChainReport chain = verify_records(path_).value();
    ASSERT_FALSE(chain.sound());
    EXPECT_EQ(chain.findings[0].fault, ChainFault::removed);
    EXPECT_EQ(chain.findings[0].run, 1);
}

TEST_F(Upkeep, ReleasesAFailedUnitOnlyWithNameAndReasonAndNeverAHalfWrittenOne) {
    const record::RunId failed = put("A1", 100, Verdict::fail, Disposition::rework);
    EXPECT_THAT(refusal(failed, Disposition::released, "QA", " "), HasSubstr("a reason"));
    EXPECT_THAT(refusal(failed, Disposition::released, "", "fine"), HasSubstr("a name"));
    EXPECT_THAT(refusal(failed, Disposition::undecided), HasSubstr("no decision"));
    EXPECT_EQ(refusal(failed, Disposition::released), "");

    const auto half = run(ledger_->start_run(support::sample_run(lot_, "A2"))).value();
    run(ledger_->intend(half, support::sample_intent())).value();
    run(ledger_->settle(half, Disposition::quarantined, "stopped", at_second(200))).value();
    EXPECT_THAT(refusal(half, Disposition::released), HasSubstr("half-written"));
    EXPECT_EQ(refusal(half, Disposition::scrap), "");
    EXPECT_THAT(refusal(99, Disposition::scrap), HasSubstr("has not ended"));
}

TEST_F(Upkeep, DecidesOnTheNewestRunAndBringsNoScrappedUnitBackAtOnce) {
    const record::RunId first = put("A1", 100, Verdict::fail, Disposition::rework);
    const record::RunId second = put("A1", 110, Verdict::pass);
    EXPECT_THAT(refusal(first, Disposition::scrap),
                HasSubstr("decide on run " + std::to_string(second)));
    EXPECT_EQ(refusal(second, Disposition::scrap), "");
    EXPECT_THAT(refusal(second, Disposition::released), HasSubstr("quarantine it first"));
    EXPECT_EQ(refusal(second, Disposition::quarantined), "");
    EXPECT_EQ(refusal(second, Disposition::released), "");
    const record::RunId one = put("", 120), other = put("", 130);
    EXPECT_EQ(refusal(one, Disposition::rework) + refusal(other, Disposition::rework), "");
}

TEST_F(Upkeep, ReconcilesALotToItsLastUnit) {
    put("A1", 100);
    put("A2", 110, Verdict::fail, Disposition::quarantined);
    const record::RunId again = put("A2", 120, Verdict::fail, Disposition::rework);
    put("", 130, Verdict::inconclusive, Disposition::undecided);
    run(ledger_->set_aside({lot_, 1, "B1", "", "another product", at_second(140)})).value();
    EXPECT_EQ(refusal(again, Disposition::scrap), "");
    LotReconciliation lot = reader_->reconcile(lot_).value();
    EXPECT_TRUE(lot.adds_up());
    EXPECT_EQ(lot.counted, (record::LotCount{4, 1, 1, 1, 0, 1}));
    EXPECT_EQ(lot.released, 1U);
    EXPECT_EQ(lot.scrap, 1U);
    EXPECT_EQ(lot.undecided, 1U);
    EXPECT_EQ(lot.rework + lot.quarantined, 0U);

    run(ledger_->start_run(support::sample_run(lot_, "A3"))).value();
    lot = reader_->reconcile(lot_).value();
    EXPECT_EQ(lot.unfinished, 1U);
    EXPECT_FALSE(lot.adds_up());
    EXPECT_FALSE(reader_->reconcile(99));
}

TEST_F(Upkeep, TellsALotWhoseRollupsWereDamaged) {
    put("A1", 100);
    ASSERT_TRUE(reader_->reconcile(lot_).value().adds_up());
    SQLite::Database(path_, SQLite::OPEN_READWRITE).exec("UPDATE rollup_units SET pass = 2");
    EXPECT_FALSE(reader_->reconcile(lot_).value().adds_up());
}

TEST_F(Upkeep, KeepsWhenAStationStoodStillAndWhy) {
    record::Downtime first{"S1", at_second(0), false, "probe pin bent", "M. Lead", "nest 2",
                           0,    {},           ""};
    EXPECT_EQ(run(ledger_->begin_downtime(first)).value(), 1);
    EXPECT_THAT(run(ledger_->begin_downtime(first)).error().what, HasSubstr("stands still"));
    EXPECT_FALSE(run(ledger_->end_downtime("S1", "M. Lead", at_second(-1))));
    EXPECT_FALSE(run(ledger_->end_downtime("S1", "", at_second(60))));
    EXPECT_TRUE(run(ledger_->end_downtime("S1", "M. Lead", at_second(60))));
    EXPECT_THAT(run(ledger_->end_downtime("S1", "M. Lead", at_second(61))).error().what,
                HasSubstr("no downtime"));
    record::Downtime told{"S1", at_second(200), true,     "recalibration", "M. Lead", "",
                          0,    at_second(300), "Q. Tech"};
    EXPECT_EQ(run(ledger_->begin_downtime(told)).value(), 2);
    told.ended = at_second(100);
    EXPECT_FALSE(run(ledger_->begin_downtime(told)));

    const auto all = reader_->downtimes("S1", std::nullopt, std::nullopt).value();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0].reason, "probe pin bent");
    EXPECT_EQ(all[0].ended, at_second(60));
    EXPECT_FALSE(all[0].planned);
    EXPECT_EQ(all[1].ended_by, "Q. Tech");
    EXPECT_TRUE(all[1].planned);
    EXPECT_EQ(reader_->downtimes("S1", at_second(60), at_second(200)).value().size(), 0U);
    EXPECT_EQ(reader_->downtimes("S1", at_second(59), at_second(201)).value().size(), 2U);
    EXPECT_EQ(reader_->downtimes("S2", std::nullopt, std::nullopt).value().size(), 0U);
}

}  // namespace
}  // namespace padtrim::ledger
