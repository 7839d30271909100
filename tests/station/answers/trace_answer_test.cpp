#include "station/answers/trace_answer.hpp"

#include <algorithm>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

language::FixtureProfile two_nests() {
    language::FixtureProfile fixture;
    fixture.nests.resize(2);
    fixture.nests[0].connect_coil = 1;
    fixture.nests[0].supply_coil = 2;
    fixture.nests[1].connect_coil = 3;
    fixture.nests[1].supply_coil = 4;
    language::CharacterisedStep step;
    step.nest = 2;
    step.channel = 1;
    step.reference = "R1";
    step.coil = 17;
    fixture.equipment.steps = {step};
    return fixture;
}

record::Observations seen_in(std::uint16_t nest, const std::string& reference,
                             std::vector<std::uint16_t> channels) {
    record::Observations seen;
    seen.nest = nest;
    record::Readings readings;
    readings.situation.reference = reference;
    readings.situation.channels = std::move(channels);
    seen.readings = {readings};
    return seen;
}

TEST(RelayWorked, ForItsNestsOwnCoils) {
    const auto fixture = two_nests();
    EXPECT_TRUE(relay_worked(fixture, seen_in(1, "", {}), 2));
    EXPECT_FALSE(relay_worked(fixture, seen_in(1, "", {}), 4));
    EXPECT_TRUE(relay_worked(fixture, seen_in(2, "", {}), 4));
}

TEST(RelayWorked, WhereItsReferenceWasSwitchedInOnItsChannel) {
    const auto fixture = two_nests();
    EXPECT_TRUE(relay_worked(fixture, seen_in(2, "R1", {}), 17)) << "on every channel";
    EXPECT_TRUE(relay_worked(fixture, seen_in(2, "R1", {0, 1}), 17));
    EXPECT_FALSE(relay_worked(fixture, seen_in(2, "R1", {0}), 17));
    EXPECT_FALSE(relay_worked(fixture, seen_in(2, "", {}), 17)) << "all references open";
    EXPECT_FALSE(relay_worked(fixture, seen_in(1, "R1", {}), 17)) << "another nest's";
    EXPECT_FALSE(relay_worked(fixture, seen_in(9, "R1", {}), 17)) << "a nest that is not there";
}

class Touched : public ::testing::Test {
  protected:
    void SetUp() override {
        ledger.lot("L-1");
        ledger.unit({"A", {}, 1, record::Verdict::fail, 100});
        ledger.unit({"A", {}, 1, record::Verdict::pass, 200});
        ledger.unit({"B", {}, 2, record::Verdict::no_verdict, 300});
    }
    TouchedUnits touched(const TouchedWish& wish) {
        return touched_units(ledger.reader(), wish).value();
    }
    test_support::QualityLedger ledger;
};

TEST_F(Touched, UnitsAreFoundByNestAndTimeWithEveryRun) {
    EXPECT_EQ(touched({}).units, 2u);
    EXPECT_EQ(touched({}).runs.size(), 3u) << "no verdict and later tries count too";
    TouchedWish wish;
    wish.of.nest = 2;
    EXPECT_EQ(touched(wish).runs.at(0).serial, "B");
    wish = {};
    wish.of.since = support::at_second(150);
    wish.of.until = support::at_second(250);
    EXPECT_EQ(touched(wish).runs.size(), 1u);
}

TEST_F(Touched, UnitsAreFoundByStepRevisionAndFixture) {
    TouchedWish wish;
    wish.of.step = "gain and offset";
    EXPECT_EQ(touched(wish).units, 2u);
    wish.of.step = "no such step";
    EXPECT_EQ(touched(wish).units, 0u);
    wish = {};
    wish.of.recipe_revision = "3";
    wish.of.fixture = "F1";
    EXPECT_EQ(touched(wish).units, 2u);
    wish.of.fixture = "F2";
    EXPECT_EQ(touched(wish).units, 0u);
}

// A serial that comes again in a later lot is the same unit.
TEST_F(Touched, AUnitOfTwoLotsIsOne) {
    ledger.lot("L-2");
    ledger.unit({"A", {}, 1, record::Verdict::pass, 400});
    EXPECT_EQ(touched({}).units, 2u);
    EXPECT_EQ(sheet_of(touched({})).sentences.at(0), "2 units in 4 runs.");
}

TEST_F(Touched, AreATableAndJson) {
    const auto answer = touched({});
    EXPECT_EQ(sheet_of(answer).tables.at(0).rows.size(), 3u);
    EXPECT_EQ(to_json(answer).at("runs").at(2).at("verdict").as_string(), "no verdict");
}

TEST_F(Touched, AUnitIsTracedThroughItsRuns) {
    record::ShiftCheck check;
    check.station = "S1";
    check.fixture = "F1";
    check.at = support::at_second(150);
    check.decision = record::CheckDecision::ready;
    check.baseline = 4;
    ledger.shift_check(check);
    const auto trace = unit_trace(ledger.reader(), "A").value();
    ASSERT_EQ(trace.origins.size(), 2u);
    EXPECT_FALSE(trace.origins[0].check) << "the check came after it";
    ASSERT_TRUE(trace.origins[1].check);
    const auto sheet = sheet_of(trace);
    std::string all;
    for (const auto& row : sheet.tables.at(0).rows) all += row[1].text + "=" + row[2].text + "\n";
    for (const char* fact : {"lot=L-1", "station=S1, nest 1", "attempt=2", "fixture=F1",
                             "air=23.4 degC", "firmware=1.4.0", "verdict=pass"})
        EXPECT_NE(all.find(fact), std::string::npos) << fact << "\n" << all;
}

TEST_F(Touched, AnUnknownUnitIsSaidToBeUnknown) {
    const auto trace = unit_trace(ledger.reader(), "nobody").value();
    EXPECT_TRUE(trace.history.runs.empty());
    EXPECT_NE(sheet_of(trace).sentences.at(0).find("do not know"), std::string::npos);
}

}  // namespace
}  // namespace padtrim::answers
