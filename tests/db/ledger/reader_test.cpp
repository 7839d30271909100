#include "db/ledger/reader.hpp"

#include <cmath>
#include <limits>

#include <SQLiteCpp/SQLiteCpp.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/ledger/ledger.hpp"
#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using record::Disposition;
using record::Verdict;
using record::WriteStage;
using support::at_second;
using support::sample_lot;
using support::sample_run;
using support::sample_unit;

class LedgerReader : public OpenLedger {
  protected:
    record::LotId open(const record::LotStart& start = sample_lot()) {
        return run(ledger_->open_lot(start)).value();
    }
    record::RunId put(record::LotId lot, const std::string& serial,
                      const record::UnitRecord& unit) {
        const record::RunId id = run(ledger_->start_run(sample_run(lot, serial))).value();
        EXPECT_TRUE(run(ledger_->finish(id, unit)));
        return id;
    }
    record::RunId put(record::LotId lot, const std::string& serial, Verdict verdict) {
        return put(lot, serial, sample_unit(verdict));
    }
};

TEST_F(LedgerReader, GivesBackEverythingOfARun) {
    const record::LotId lot = open();
    const record::RunId id = run(ledger_->start_run(sample_run(lot, "A1", 2))).value();
    const record::WriteIntent intent = support::sample_intent();
    ASSERT_TRUE(run(ledger_->intend(id, intent)));
    ASSERT_TRUE(run(ledger_->reached(id, WriteStage::written)));
    record::UnitRecord unit = sample_unit();
    unit.write_stage = WriteStage::verified;
    ASSERT_TRUE(run(ledger_->finish(id, unit)));

    const StoredRun stored = reader_->stored_run(id).value().value();
    EXPECT_EQ(stored.plan_text, sample_lot().plan_text);
    EXPECT_EQ(stored.observations, unit.observations);
    EXPECT_EQ(stored.result, unit.result);
    ASSERT_TRUE(stored.intent);
    EXPECT_EQ(stored.intent->as_found, intent.as_found);
    EXPECT_EQ(stored.intent->to_write, intent.to_write);
    EXPECT_EQ(stored.intent->at, intent.at);
    EXPECT_EQ(stored.stages,
              (std::vector{WriteStage::intended, WriteStage::written, WriteStage::verified}));
    const RunSummary& summary = stored.summary;
    EXPECT_EQ(summary.run, id);
    EXPECT_EQ(summary.lot_name + summary.station + summary.recipe + summary.recipe_revision +
                  summary.product + summary.fixture + summary.plan_hash,
              "L-1S1eight keys3panelF15f1e");
    EXPECT_EQ(summary.nest, 2);
    EXPECT_EQ(summary.started, at_second(10));
    EXPECT_EQ(summary.ended, at_second(60));
    EXPECT_EQ(summary.verdict, Verdict::pass);
    EXPECT_EQ(summary.disposition, Disposition::released);
    EXPECT_EQ(summary.write_stage, WriteStage::verified);
    EXPECT_FALSE(summary.settled);
}

TEST_F(LedgerReader, KnowsNoRunThatWasNeverStarted) {
    EXPECT_FALSE(reader_->stored_run(17).value().has_value());
    EXPECT_FALSE(reader_->lot("L-1").value().has_value());
    EXPECT_TRUE(reader_->runs_of("A1").value().empty());
    EXPECT_TRUE(reader_->lots().value().empty());
}

TEST_F(LedgerReader, GivesBackNumbersThatAreNone) {
    record::UnitRecord unit = sample_unit(Verdict::fail);
    const double infinity = std::numeric_limits<double>::infinity();
    unit.result.checks[0].value = std::nan("");
    unit.result.checks[0].margin = -infinity;
    unit.result.checks[0].high = infinity;
    unit.result.checks[0].channel = -1;
    const record::RunId id = put(open(), "A1", unit);
    const record::UnitResult stored = reader_->stored_run(id).value()->result;
    EXPECT_TRUE(std::isnan(stored.checks[0].value));
    EXPECT_EQ(stored.checks[0].margin, -infinity);
    EXPECT_EQ(stored.checks[0].high, infinity);
    EXPECT_EQ(stored.checks[0].channel, -1);
    EXPECT_EQ(stored.checks[1], unit.result.checks[1]);
}

TEST_F(LedgerReader, KeepsEveryBitOfEveryNumber) {
    record::UnitRecord unit = sample_unit();
    unit.result.lines[0].gain = 0.1 + 0.2;
    unit.result.lines[0].offset = std::numeric_limits<double>::denorm_min();
    unit.result.lines[1].covariance = -1.0 / 3.0;
    const record::RunId id = put(open(), "A1", unit);
    EXPECT_EQ(reader_->stored_run(id).value()->result.lines, unit.result.lines);
}

TEST_F(LedgerReader, ListsTheRunsOfASerialOverAllLots) {
    const record::RunId first = put(open(sample_lot("L-1")), "A1", Verdict::fail);
    const record::RunId second = put(open(sample_lot("L-2")), "A1", Verdict::pass);
    const record::RunId third = run(ledger_->start_run(sample_run(open(), "A1"))).value();
    put(open(), "A2", Verdict::pass);
    const auto runs = reader_->runs_of("A1").value();
    ASSERT_EQ(runs.size(), 3U);
    EXPECT_EQ(runs[0].run, first);
    EXPECT_EQ(runs[1].run, second);
    EXPECT_EQ(runs[1].attempt, 1U);
    EXPECT_EQ(runs[2].run, third);
    EXPECT_EQ(runs[2].attempt, 2U);
    EXPECT_FALSE(runs[2].ended);
}

TEST_F(LedgerReader, FindsAUnitByItsLabelWhenItsSerialWasNeverRead) {
    record::RunStart start = sample_run(open(), "");
    start.label = "A1";
    const record::RunId id = run(ledger_->start_run(start)).value();
    const auto runs = reader_->runs_of("A1").value();
    ASSERT_EQ(runs.size(), 1U);
    EXPECT_EQ(runs[0].run, id);
    EXPECT_EQ(reader_->runs_of("").value().size(), 1U);
}

TEST_F(LedgerReader, GivesOddSerialsBackAsTheyCame) {
    const record::LotId lot = open();
    for (const std::string& serial : support::odd_serials()) put(lot, serial, Verdict::fail);
    std::size_t i = 0;
    for (const TapeMark& mark : reader_->tape(lot).value())
        EXPECT_EQ(mark.serial, support::odd_serials().at(i++));
    EXPECT_EQ(i, support::odd_serials().size());
    for (const std::string& serial : support::odd_serials())
        EXPECT_EQ(reader_->runs_of(serial).value().size(), 1U);
}

TEST_F(LedgerReader, TellsPeoplesDecisionsFromTheStationsProposal) {
    const record::LotId lot = open();
    const record::RunId id = put(lot, "A1", sample_unit(Verdict::fail, Disposition::quarantined));
    ASSERT_TRUE(
        run(ledger_->decide(id, Disposition::rework, "M. Lead", "glue seen", at_second(70))));
    ASSERT_TRUE(run(ledger_->decide(id, Disposition::scrap, "M. Lead", "cracked", at_second(80))));
    const StoredRun stored = reader_->stored_run(id).value().value();
    EXPECT_EQ(stored.result.disposition, Disposition::quarantined);
    EXPECT_EQ(stored.summary.disposition, Disposition::scrap);
    ASSERT_EQ(stored.dispositions.size(), 3U);
    EXPECT_EQ(stored.dispositions[0].who, "station");
    EXPECT_EQ(stored.dispositions[1].who, "M. Lead");
    EXPECT_EQ(stored.dispositions[1].reason, "glue seen");
    EXPECT_EQ(stored.dispositions[2].at, at_second(80));
    EXPECT_EQ(reader_->tape(lot).value()[0].disposition, Disposition::scrap);
    EXPECT_EQ(run(ledger_->standing(lot, "A1")).value().disposition, Disposition::scrap);
    EXPECT_FALSE(run(ledger_->decide(99, Disposition::scrap, "x", "y", at_second(80))));
}

TEST_F(LedgerReader, CountsRunsWithoutAPassUntilAPersonDecides) {
    const record::LotId lot = open();
    put(lot, "A1", sample_unit(Verdict::fail, Disposition::rework));
    const record::RunId id = put(lot, "A1", sample_unit(Verdict::fail, Disposition::rework));
    EXPECT_EQ(run(ledger_->standing(lot, "A1")).value().not_passed, 2U);
    ASSERT_TRUE(run(ledger_->decide(id, Disposition::rework, "M. Lead", "seen", at_second(70))));
    EXPECT_EQ(run(ledger_->standing(lot, "A1")).value().not_passed, 0U);
    put(lot, "A1", sample_unit(Verdict::fail, Disposition::rework));
    EXPECT_EQ(run(ledger_->standing(lot, "A1")).value().not_passed, 1U);
}

TEST_F(LedgerReader, QuarantineGoesWithTheUnitUntilAPersonDecides) {
    record::LotStart other = sample_lot();
    other.lot = "another lot";
    const record::LotId lot = open(), later = open(other);
    const record::RunId id = put(lot, "A1", sample_unit(Verdict::fail, Disposition::quarantined));
    EXPECT_EQ(run(ledger_->standing(later, "A1")).value().disposition, Disposition::quarantined);
    EXPECT_EQ(run(ledger_->standing(later, "A1")).value().attempts, 0U);
    EXPECT_FALSE(run(ledger_->standing(later, "A2")).value().finished);
    ASSERT_TRUE(run(ledger_->decide(id, Disposition::rework, "M. Lead", "seen", at_second(70))));
    EXPECT_FALSE(run(ledger_->standing(later, "A1")).value().finished);
    put(later, "A1", Verdict::pass);
    EXPECT_EQ(run(ledger_->standing(lot, "A1")).value().verdict, Verdict::fail);
    EXPECT_EQ(run(ledger_->standing(later, "A1")).value().verdict, Verdict::pass);
}

TEST_F(LedgerReader, ScrapGoesWithTheUnitIntoEveryLot) {
    const record::LotId lot = open(), later = open(sample_lot("a later lot"));
    const record::RunId id = put(lot, "A1", sample_unit(Verdict::fail, Disposition::rework));
    EXPECT_FALSE(run(ledger_->standing(later, "A1")).value().finished);
    ASSERT_TRUE(run(ledger_->decide(id, Disposition::scrap, "M. Lead", "cracked", at_second(70))));
    EXPECT_EQ(run(ledger_->standing(later, "A1")).value().disposition, Disposition::scrap);
    EXPECT_EQ(run(ledger_->standing(later, "A1")).value().reason, "cracked");
}

TEST_F(LedgerReader, TellsASettledRunFromAFinishedOne) {
    const record::RunId id = run(ledger_->start_run(sample_run(open(), "A1"))).value();
    ASSERT_TRUE(run(ledger_->intend(id, support::sample_intent())));
    ASSERT_TRUE(run(ledger_->settle(id, Disposition::quarantined, "stopped", at_second(99))));
    const StoredRun stored = reader_->stored_run(id).value().value();
    EXPECT_TRUE(stored.summary.settled);
    EXPECT_EQ(stored.summary.write_stage, WriteStage::intended);
    EXPECT_EQ(stored.summary.reason, "stopped");
    EXPECT_FALSE(stored.observations);
    EXPECT_EQ(stored.result.verdict, Verdict::no_verdict);
}

TEST_F(LedgerReader, SummarisesLotsNewestFirst) {
    const record::LotId first = open(sample_lot("L-1"));
    put(first, "A1", Verdict::pass);
    ASSERT_TRUE(run(ledger_->close_lot(first, at_second(90))));
    record::LotStart revised = sample_lot("L-2");
    revised.plan_hash = "77aa";
    revised.plan_text += "# revised\n";
    revised.recipe_revision = "4";
    const record::LotId second = open(revised);
    const auto lots = reader_->lots().value();
    ASSERT_EQ(lots.size(), 2U);
    EXPECT_EQ(lots[0].lot, second);
    EXPECT_TRUE(lots[0].open);
    EXPECT_EQ(lots[0].recipe_revision, "4");
    EXPECT_EQ(lots[1].closed, at_second(90));
    EXPECT_FALSE(lots[1].open);
    EXPECT_EQ(lots[1].operator_name, "night shift");
    EXPECT_EQ(lots[1].count, (record::LotCount{1, 1, 0, 0, 0, 0}));
}

TEST_F(LedgerReader, FindsTheLotOfANameThatWasOpenedLast) {
    open(sample_lot("L-1", "S1"));
    const record::LotId other = open(sample_lot("L-1", "S2"));
    EXPECT_EQ(reader_->lot("L-1").value()->lot, other);
    const record::LotId again = open(sample_lot("L-1", "S1"));
    EXPECT_EQ(reader_->lot("L-1").value()->lot, again);
}

TEST_F(LedgerReader, PutsTheTapeInTheOrderOfTheRuns) {
    const record::LotId lot = open();
    put(lot, "A1", Verdict::fail);
    put(lot, "A2", Verdict::pass);
    put(lot, "A1", Verdict::inconclusive);
    run(ledger_->start_run(sample_run(lot, "A3"))).value();
    const auto tape = reader_->tape(lot).value();
    ASSERT_EQ(tape.size(), 4U);
    EXPECT_EQ(tape[0].verdict, Verdict::fail);
    EXPECT_EQ(tape[0].reason, "Because of fail.");
    EXPECT_EQ(tape[2].serial, "A1");
    EXPECT_EQ(tape[2].attempt, 2U);
    EXPECT_EQ(tape[2].verdict, Verdict::inconclusive);
    EXPECT_TRUE(tape[2].ended);
    EXPECT_FALSE(tape[3].ended);
}

TEST_F(LedgerReader, ListsUnitsThatWereSetAside) {
    const record::LotId lot = open();
    const record::SetAside unit{lot, 2, "B1", "label", "Another product.", at_second(5)};
    ASSERT_TRUE(run(ledger_->set_aside(unit)));
    const auto units = reader_->set_aside(lot).value();
    ASSERT_EQ(units.size(), 1U);
    EXPECT_EQ(units[0].serial, "B1");
    EXPECT_EQ(units[0].reason, "Another product.");
    EXPECT_EQ(units[0].nest, 2);
}

TEST_F(LedgerReader, SpreadsTheLinesOfALotOverItsUnits) {
    const record::LotId lot = open();
    const auto with_gain = [](double gain, double expanded) {
        record::UnitRecord unit = sample_unit();
        unit.result.lines[0].gain = gain;
        unit.result.lines[0].gain_expanded = expanded;
        return unit;
    };
    put(lot, "A1", with_gain(700.0, 9.0));  // measured again below: does not count
    put(lot, "A1", with_gain(800.0, 0.4));
    put(lot, "A2", with_gain(810.0, 0.6));
    put(lot, "A3", with_gain(820.0, 0.8));
    put(lot, "A4", with_gain(std::nan(""), 0.8));  // no line could be drawn
    const auto lines = reader_->lines_of(lot).value();
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(lines[0].key, "K1");
    EXPECT_EQ(lines[0].units, 3U);
    EXPECT_DOUBLE_EQ(lines[0].gain.mean, 810.0);
    EXPECT_DOUBLE_EQ(lines[0].gain.low, 800.0);
    EXPECT_DOUBLE_EQ(lines[0].gain.high, 820.0);
    EXPECT_DOUBLE_EQ(lines[0].gain.standard_deviation, 10.0);
    EXPECT_DOUBLE_EQ(lines[0].gain.mean_expanded, 0.6);
    EXPECT_DOUBLE_EQ(lines[0].gain.mean_standard, 0.3);
    EXPECT_DOUBLE_EQ(lines[0].offset.mean, 1500.25);
    EXPECT_EQ(lines[1].channel, 1);
    EXPECT_EQ(lines[1].units, 4U);
}

TEST_F(LedgerReader, CountsFailuresByUnitWithTheWorstForExample) {
    const record::LotId lot = open();
    const auto failing = [](const std::string& check, Verdict verdict, double margin) {
        record::UnitRecord unit = sample_unit(verdict);
        unit.result.checks[1].check = check;
        unit.result.checks[1].margin = margin;
        unit.result.checks.push_back(unit.result.checks[1]);  // on a second channel too
        unit.result.checks[2].margin = margin + 1.0;
        return unit;
    };
    put(lot, "A1", failing("gain", Verdict::fail, -2.0));
    put(lot, "A2", failing("gain", Verdict::fail, -9.0));
    put(lot, "A3", failing("gain", Verdict::inconclusive, 0.1));
    put(lot, "A4", failing("offset", Verdict::fail, -1.0));
    put(lot, "A5", failing("noise", Verdict::fail, -1.0));
    put(lot, "A5", Verdict::pass);  // passed in the end
    const auto failures = reader_->failures(lot).value();
    ASSERT_EQ(failures.size(), 2U);
    EXPECT_EQ(failures[0].check, "gain");
    EXPECT_EQ(failures[0].key, "K1");
    EXPECT_EQ(failures[0].failed, 2U);
    EXPECT_EQ(failures[0].inconclusive, 1U);
    EXPECT_EQ(failures[0].example_serial, "A2");
    EXPECT_DOUBLE_EQ(failures[0].worst_margin, -9.0);
    EXPECT_EQ(failures[0].note, "Gain is low at K1.");
    EXPECT_EQ(failures[1].check, "offset");
    EXPECT_EQ(failures[1].failed, 1U);
}

record::YieldCount only(const std::vector<YieldRow>& rows) {
    EXPECT_EQ(rows.size(), 1U);
    return rows.empty() ? record::YieldCount{} : rows[0].count;
}

TEST_F(LedgerReader, CountsTriesThatGaveAVerdict) {
    const record::LotId lot = open();
    put(lot, "good", Verdict::pass);
    put(lot, "recovers", Verdict::fail);
    put(lot, "recovers", Verdict::pass);
    put(lot, "fault first", Verdict::no_verdict);
    put(lot, "fault first", Verdict::pass);
    put(lot, "never", Verdict::no_verdict);
    put(lot, "unsure", Verdict::inconclusive);
    put(lot, "bad", Verdict::fail);
    put(lot, "bad", Verdict::fail);
    put(lot, "bad", Verdict::no_verdict);
    run(ledger_->start_run(sample_run(lot, "running"))).value();
    record::YieldCount expected;
    expected.units = 5;
    expected.first_pass = 2;
    expected.final_pass = 3;
    expected.retested = 2;
    expected.rejected_first = 2;
    expected.recovered = 1;
    expected.without_verdict = 1;
    expected.retried = 2;
    EXPECT_EQ(only(reader_->yield({}, YieldBy::everything).value()), expected);
    SQLite::Database tool(path_, SQLite::OPEN_READONLY);  // the view says the same
    EXPECT_EQ(tool.execAndGet("SELECT units || ' ' || first_pass || ' ' || final_pass || ' ' ||"
                              " without_verdict FROM lot_yield")
                  .getString(),
              "5 2 3 1");
}

TEST_F(LedgerReader, GroupsAndFiltersYields) {
    put(open(sample_lot("L-1", "S1")), "A1", Verdict::pass);
    put(open(sample_lot("L-2", "S1")), "A1", Verdict::fail);
    record::LotStart revised = sample_lot("L-3", "S2");
    revised.plan_hash = "77aa";
    revised.recipe_revision = "4";
    put(open(revised), "A1", Verdict::pass);
    record::LotStart looking = sample_lot("L-1", "S1");
    looking.measure_only = true;
    put(open(looking), "A9", Verdict::fail);

    EXPECT_EQ(reader_->yield({}, YieldBy::lot).value().size(), 3U);
    const auto stations = reader_->yield({}, YieldBy::station).value();
    ASSERT_EQ(stations.size(), 2U);
    EXPECT_EQ(stations[0].station, "S1");
    EXPECT_EQ(stations[0].lot, "");
    EXPECT_EQ(stations[0].count.units, 2U);
    const auto revisions = reader_->yield({}, YieldBy::recipe_revision).value();
    ASSERT_EQ(revisions.size(), 2U);
    EXPECT_EQ(revisions[1].recipe_revision, "4");
    YieldFilter filter;
    filter.lot = "L-2";
    EXPECT_EQ(only(reader_->yield(filter, YieldBy::lot).value()).first_pass, 0U);
    filter.station = "S2";
    EXPECT_TRUE(reader_->yield(filter, YieldBy::lot).value().empty());
    YieldFilter measured;
    measured.measure_only = true;
    EXPECT_EQ(only(reader_->yield(measured, YieldBy::everything).value()).rejected_first, 1U);
    YieldFilter odd;
    odd.recipe = "' OR 1=1 --";
    EXPECT_TRUE(reader_->yield(odd, YieldBy::everything).value().empty());
}

TEST_F(LedgerReader, SplitsALotWhoseRecipeChangedButNoUnit) {
    put(open(sample_lot()), "A1", Verdict::fail);
    record::LotStart revised = sample_lot();
    revised.plan_hash = "77aa";
    revised.recipe_revision = "4";
    const record::LotId lot = open(revised);
    put(lot, "A1", Verdict::pass);
    put(lot, "A2", Verdict::pass);
    const auto rows = reader_->yield({}, YieldBy::lot).value();
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[0].recipe_revision, "3");
    EXPECT_EQ(rows[0].count.recovered, 1U);
    EXPECT_EQ(rows[1].count.units, 1U);
    EXPECT_EQ(reader_->runs_of("A1").value()[1].recipe_revision, "4");
}

TEST_F(LedgerReader, RefusesAPlanThatChangedUnderItsHash) {
    open(sample_lot());
    record::LotStart other = sample_lot("L-2");
    other.plan_text += "x";
    EXPECT_FALSE(run(ledger_->open_lot(other)));
    EXPECT_EQ(reader_->lots().value().size(), 1U);
}

TEST_F(LedgerReader, NamesTheRunWhoseObservationsAreDamaged) {
    const record::RunId id = put(open(), "A1", Verdict::pass);
    SQLite::Database tool(path_, SQLite::OPEN_READWRITE);
    tool.exec("DROP TRIGGER observation_unedited");
    tool.exec("UPDATE observation SET packed = zeroblob(100)");
    const auto damaged = reader_->stored_run(id);
    ASSERT_FALSE(damaged);
    EXPECT_THAT(damaged.error().what, testing::HasSubstr("run " + std::to_string(id)));
    EXPECT_TRUE(reader_->runs_of("A1"));
}

TEST_F(LedgerReader, SeesWhatTheWriterHasStoredAndNothingHalf) {
    const record::LotId lot = open();
    EXPECT_TRUE(reader_->tape(lot).value().empty());
    put(lot, "A1", Verdict::pass);
    EXPECT_EQ(reader_->tape(lot).value().size(), 1U);
    SQLite::Database tool(path_, SQLite::OPEN_READWRITE);
    tool.exec("BEGIN IMMEDIATE");  // a writer in the middle of something
    EXPECT_EQ(reader_->tape(lot).value().size(), 1U);
}

}  // namespace
}  // namespace padtrim::ledger
