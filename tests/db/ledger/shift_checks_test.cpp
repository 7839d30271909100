// Shift checks, what charts learn from, and a station's readiness at a lot's opening, as the ledger
// keeps them.
#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>

#include "tests/db/ledger/open_ledger.hpp"
#include "tests/support/lot_samples.hpp"

namespace padtrim::ledger {
namespace {

using record::ChartState;
using record::CheckDecision;
using support::at_second;

class LedgerShiftChecks : public OpenLedger {
  protected:
    static record::ShiftCheck check(CheckDecision decision, double value,
                                    ChartState state = ChartState::learning) {
        record::ShiftCheck check;
        check.station = "S1";
        check.fixture = "line fixture";
        check.product = "panel";
        check.certificate = "26-1";
        check.at = at_second(10);
        check.who = "O";
        check.decision = decision;
        check.cause = "because";
        check.next_step = "go";
        check.baseline = 5;
        check.learned = 2;
        check.standards = {{"S-1", 1, false, record::Verdict::pass, true, "fine"},
                           {"X-1", 1, true, record::Verdict::fail, true, "glue"}};
        record::ChartPoint point;
        point.place = {"S-1", 1, "gain and offset", "gain", "plus", 2, -1};
        point.value = value;
        point.unit = "counts/pF";
        point.state = state;
        if (state != ChartState::learning) {
            point.centre = 400.0;
            point.sigma = 0.1;
            point.low = 399.5;
            point.high = 400.5;
        }
        check.points = {point};
        return check;
    }
    std::int64_t keep(const record::ShiftCheck& check) {
        return run(ledger_->keep_shift_check(check)).value();
    }
    std::vector<double> learned() {
        const auto history = reader_->chart_history("S1", "line fixture").value();
        return history.empty() ? std::vector<double>() : history.begin()->second;
    }
};

TEST_F(LedgerShiftChecks, AreReadBackAsTheyWereKept) {
    auto kept = check(CheckDecision::ready, 400.1, ChartState::within);
    kept.id = keep(kept);
    const auto found = reader_->shift_checks("S1", "line fixture", 5).value();
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].id, kept.id);
    EXPECT_EQ(found[0].certificate, "26-1");
    EXPECT_EQ(found[0].cause, "because");
    EXPECT_EQ(found[0].at, at_second(10));
    EXPECT_EQ(found[0].points, kept.points);
    EXPECT_EQ(found[0].standards, kept.standards);
    EXPECT_TRUE(reader_->shift_checks("S2", "", 5).value().empty());
}

TEST_F(LedgerShiftChecks, LearnFromLearningPointsOfGoodChecksOnly) {
    keep(check(CheckDecision::ready, 400.1));
    keep(check(CheckDecision::blocked, 380.0));
    keep(check(CheckDecision::ready, 400.3));
    keep(check(CheckDecision::ready, 400.2, ChartState::within));
    EXPECT_EQ(learned(), (std::vector<double>{400.1, 400.3}));
}

TEST_F(LedgerShiftChecks, LearnAnewAfterARestartAndKeepTheOldPoints) {
    keep(check(CheckDecision::ready, 400.1));
    ASSERT_TRUE(run(
        ledger_->restart_charts({"S1", "line fixture", "M", "finger replaced", at_second(20)})));
    EXPECT_TRUE(learned().empty());
    keep(check(CheckDecision::ready, 402.0));
    EXPECT_EQ(learned(), std::vector<double>{402.0});
    EXPECT_EQ(reader_->shift_checks("S1", "", 5).value().size(), 2U);
}

TEST_F(LedgerShiftChecks, TellWhenTheLastGoodOneWas) {
    EXPECT_FALSE(reader_->last_good_check("S1", "line fixture").value());
    keep(check(CheckDecision::ready, 400.1));
    auto later = check(CheckDecision::blocked, 380.0);
    later.at = at_second(50);
    keep(later);
    EXPECT_EQ(reader_->last_good_check("S1", "line fixture").value(), at_second(10));
}

TEST_F(LedgerShiftChecks, NameTheLotsThatHoldTheirRuns) {
    auto start = support::sample_lot("shift check 1, nest 1");
    start.measure_only = true;
    ASSERT_TRUE(run(ledger_->open_lot(start)));
    auto with_lot = check(CheckDecision::ready, 400.1);
    with_lot.lots = {"shift check 1, nest 1"};
    EXPECT_TRUE(run(ledger_->keep_shift_check(with_lot)));
    with_lot.lots = {"no such lot"};
    EXPECT_EQ(run(ledger_->keep_shift_check(with_lot)).error().kind,
              journal::StoreFaultKind::broken);
    EXPECT_EQ(reader_->shift_checks("S1", "", 5).value().size(), 1U);
}

TEST_F(LedgerShiftChecks, StandBesideTheOpeningOfALot) {
    auto start = support::sample_lot();
    start.readiness = {record::Readiness::ready, keep(check(CheckDecision::ready, 400.1))};
    ASSERT_TRUE(run(ledger_->open_lot(start)));
    SQLite::Database database(path_, SQLite::OPEN_READONLY);
    EXPECT_EQ(database.execAndGet("SELECT state || shift_check FROM opening_readiness").getString(),
              "ready1");
}

}  // namespace
}  // namespace padtrim::ledger
