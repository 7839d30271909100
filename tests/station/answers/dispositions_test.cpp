#include "station/answers/dispositions.hpp"

#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::Disposition;
using record::Verdict;

class Decided : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        good = unit("good", Verdict::pass, 100);
        bad = unit("bad", Verdict::fail, 110);
        decide(bad, Disposition::quarantined, "M", "odd noise");
    }
    record::RunId unit(const std::string& serial, Verdict verdict, std::int64_t second) {
        return ledger.unit({serial, {{"gain", 1.0}}, 1, verdict, second});
    }
    void decide(record::RunId run, Disposition to, const std::string& who, const std::string& why) {
        boost::asio::io_context context;
        ASSERT_TRUE(support::await(
                        context, ledger.ledger().decide(run, to, who, why, support::at_second(500)))
                        .has_value());
    }
    std::vector<std::string> serials(std::string_view which) {
        const auto all = dispositions(ledger.reader(), {}, dispositions_named(which)).value();
        std::vector<std::string> list;
        for (const auto& one : all.units) list.push_back(one.run.serial);
        return list;
    }
    test_support::QualityLedger ledger;
    record::RunId good = 0, bad = 0;
};

TEST_F(Decided, UnitsAreFoundByTheirNewestDisposition) {
    EXPECT_EQ(serials("quarantined"), std::vector<std::string>{"bad"});
    EXPECT_EQ(serials("waiting"), std::vector<std::string>{"bad"});
    decide(bad, Disposition::scrap, "M", "broken glass");
    EXPECT_TRUE(serials("waiting").empty());
    EXPECT_EQ(serials("scrap"), std::vector<std::string>{"bad"});
}

TEST_F(Decided, UnitsTellEveryChangeWithWhoWhenAndWhy) {
    const auto all = dispositions(ledger.reader(), {}, {Disposition::quarantined}).value();
    ASSERT_EQ(all.units.size(), 1U);
    ASSERT_EQ(all.units[0].changes.size(), 2U) << "the station's own, then M's";
    EXPECT_EQ(all.units[0].changes[1].who, "M");
    EXPECT_EQ(all.units[0].changes[1].reason, "odd noise");
    const auto sheet = sheet_of(all);
    EXPECT_NE(sheet.tables.at(0).rows.at(0).at(5).text.find("odd noise"), std::string::npos);
}

TEST_F(Decided, UnitsThatRanAgainCountByTheirNewestRun) {
    const auto again = unit("bad", Verdict::pass, 300);
    EXPECT_TRUE(serials("quarantined").empty());
    EXPECT_EQ(run_to_decide(ledger.reader(), "bad").value()->run, again);
    EXPECT_EQ(run_to_decide(ledger.reader(), "nobody").value(), std::nullopt);
}

TEST_F(Decided, UnitsThatNobodyCouldNameAreThoseOfTheirRun) {
    const auto nameless = unit("", Verdict::fail, 300);
    EXPECT_EQ(run_to_decide(ledger.reader(), "", nameless).value()->run, nameless);
    EXPECT_EQ(run_to_decide(ledger.reader(), "", 4711).value(), std::nullopt);
    // One that has a name is found by it, whichever run was looked at.
    const auto again = unit("bad", Verdict::pass, 400);
    EXPECT_EQ(run_to_decide(ledger.reader(), "", bad).value()->run, again);
}

TEST_F(Decided, ListsSayWhenThereAreMore) {
    for (int i = 0; i < 5; ++i)
        decide(unit("Q" + std::to_string(i), Verdict::fail, 200 + i), Disposition::quarantined, "M",
               "x");
    const auto some = dispositions(ledger.reader(), {}, {Disposition::quarantined}, 3).value();
    EXPECT_TRUE(some.more);
    ASSERT_EQ(some.units.size(), 3U);
    EXPECT_EQ(some.units[0].run.serial, "Q4") << "newest first";
    QualityWish elsewhere;
    elsewhere.lot = "L-2";
    EXPECT_TRUE(
        dispositions(ledger.reader(), elsewhere, {Disposition::quarantined}).value().units.empty());
}

TEST(Decisions, AreWhatAPersonMayDecide) {
    EXPECT_EQ(decision_named("scrap"), Disposition::scrap);
    EXPECT_EQ(decision_named("undecided"), std::nullopt);
    EXPECT_EQ(decision_named("waiting"), std::nullopt);
    EXPECT_TRUE(dispositions_named("lost").empty());
    EXPECT_EQ(disposition_names().front(), "waiting");
}

}  // namespace
}  // namespace padtrim::answers
