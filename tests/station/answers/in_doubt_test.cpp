#include "station/answers/in_doubt.hpp"

#include <boost/json/object.hpp>
#include <gtest/gtest.h>

#include "recipes/language/load.hpp"
#include "tests/station/answers/bench_ledger.hpp"
#include "tests/station/answers/quality_ledger.hpp"

namespace padtrim::answers {
namespace {

using record::ChartState;
using record::CheckDecision;

record::ShiftCheck check_at(std::int64_t second, CheckDecision decision, double error) {
    record::ShiftCheck check;
    check.station = "S1";
    check.fixture = "F1";
    check.at = support::at_second(second);
    check.decision = decision;
    check.baseline = 4;
    check.cause = decision == CheckDecision::blocked ? "Gain is off." : "";
    check.next_step = "Find out why.";
    for (const char* serial : {"STD-1", "STD-2"}) {
        record::ChartPoint point;
        point.place = {serial, 1, "gain and offset", "gain", "K1", 0, 0};
        point.centre = 500.0;
        point.sigma = 0.1;
        point.low = 499.0;
        point.high = 501.0;
        // A little apart, so that their mean is the error.
        point.value = 500.0 + error + (serial[4] == '1' ? -0.05 : 0.05);
        point.state = decision == CheckDecision::blocked ? ChartState::beyond : ChartState::within;
        point.unit = "counts/pF";
        check.points.push_back(point);
    }
    return check;
}

class Doubted : public ::testing::Test {
  protected:
    void SetUp() override {
        const auto plan = test_support::hob_plan();
        ledger.lot("L-1", false, language::plan_text(*plan));
        // Limits 380 to 420; the station read 4 too much.
        unit("early", 418.0, 100);
        unit("edge", 383.0, 300);
        unit("middle", 400.0, 310);
        unit("late", 383.0, 900);
    }
    void unit(const std::string& serial, double gain, std::int64_t second, std::uint16_t nest = 1) {
        ledger.unit({serial,
                     {{"gain", gain, record::Stage::as_found, "K1", 380.0, 420.0}},
                     nest,
                     record::Verdict::pass,
                     second});
    }
    InDoubt doubt() { return units_in_doubt(ledger.reader(), "S1", "").value(); }
    test_support::QualityLedger ledger;
};

TEST_F(Doubted, AreThoseBetweenTheLastGoodCheckAndTheOneThatBlocked) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    ledger.shift_check(check_at(500, CheckDecision::blocked, 4.0));
    const auto answer = doubt();
    ASSERT_EQ(answer.units.size(), 2u) << "neither before the good check nor after the bad one";
    EXPECT_TRUE(answer.still_blocked);
    ASSERT_EQ(answer.errors.size(), 1u);
    EXPECT_NEAR(answer.errors[0].value, 4.0, 1e-9) << "the mean of both standards";
    EXPECT_EQ(answer.errors[0].standards, 2u);
    // 383 less 4 is below 380; 400 less 4 is far inside.
    EXPECT_EQ(answer.would_change(), 1u);
    EXPECT_EQ(answer.units[0].run.serial, "edge");
    EXPECT_NE(answer.units[0].what.find("instead of pass"), std::string::npos)
        << answer.units[0].what;
    EXPECT_EQ(answer.units[1].run.serial, "middle");
}

TEST_F(Doubted, AreNoneByWhatOneStandardDidAlone) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    auto check = check_at(500, CheckDecision::blocked, 0.0);
    // A third standard, and nest 2: only with them does it show that STD-1 is alone.
    for (const char* serial : {"STD-1", "STD-2", "STD-3"})
        for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}}) {
            if (nest == 1 && serial[4] != '3') continue;
            auto point = check.points[0];
            point.place.serial = serial;
            point.place.nest = nest;
            point.value = 500.0;
            check.points.push_back(point);
        }
    for (auto& point : check.points) {
        point.state = ChartState::within;
        if (point.place.serial != "STD-1") continue;
        point.value += 4.0;
        point.state = ChartState::beyond;
    }
    ledger.shift_check(check);
    const auto answer = doubt();
    EXPECT_TRUE(answer.blocking);
    EXPECT_TRUE(answer.units.empty());
    EXPECT_EQ(answer.not_in_doubt, 2u);
    ASSERT_EQ(answer.errors.size(), 2u) << "one a nest";
    EXPECT_EQ(answer.errors[0].whose, ErrorOf::standard);
    EXPECT_EQ(answer.errors[0].apart, std::vector<std::string>{"STD-1"});
    EXPECT_EQ(answer.errors[0].value, 0.0);
    const auto says_challenge = [](const InDoubt& of) {
        for (const auto& sentence : sheet_of(of).sentences)
            if (sentence.starts_with("A challenge unit was not rejected")) return true;
        return false;
    };
    EXPECT_FALSE(says_challenge(answer)) << "there was none";
    // A challenge unit that was not rejected leaves every unit in doubt.
    check.at = support::at_second(600);
    check.standards.push_back({"X-1", 1, true, record::Verdict::pass, false, ""});
    ledger.shift_check(check);
    EXPECT_EQ(doubt().units.size(), 2u);
    EXPECT_TRUE(says_challenge(doubt()));
}

TEST_F(Doubted, AreThoseOfTheNestThatChanged) {
    unit("other nest", 383.0, 320, 2);
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    auto check = check_at(500, CheckDecision::blocked, 4.0);
    for (auto point : std::vector(check.points)) {
        point.place.nest = 2;
        point.value -= 4.0;
        point.state = ChartState::within;
        check.points.push_back(point);
    }
    ledger.shift_check(check);
    const auto answer = doubt();
    EXPECT_EQ(answer.units.size(), 2u) << "of nest 1";
    EXPECT_EQ(answer.not_in_doubt, 1u);
    EXPECT_EQ(answer.errors[0].whose, ErrorOf::station);
    EXPECT_NEAR(answer.errors[0].value, 4.0, 0.01);
}

TEST_F(Doubted, MayBeWrongByTheLargestDepartureWhereStandardsDisagree) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    auto check = check_at(500, CheckDecision::blocked, 4.0);
    check.points[1].value += 3.0;
    ledger.shift_check(check);
    const auto answer = doubt();
    EXPECT_EQ(answer.errors[0].whose, ErrorOf::not_distinguishable);
    EXPECT_NEAR(answer.errors[0].value, 7.05, 1e-9);
    EXPECT_EQ(answer.units.size(), 2u);
}

// One standard in one nest, beyond limits that people stated: nothing tells whose it is.
TEST_F(Doubted, AreThoseOfACheckBeyondItsLimitsWhoseCauseDoesNotStandOut) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    auto check = check_at(500, CheckDecision::blocked, 0.0);
    for (auto& point : check.points) {
        point.state = ChartState::within;
        point.sigma = 0.5;
    }
    // Two and a half sigma: no change of significance, though beyond.
    check.points[0].value = 501.25;
    check.points[0].high = 501.0;
    check.points[0].state = ChartState::beyond;
    ledger.shift_check(check);
    const auto answer = doubt();
    ASSERT_EQ(answer.errors.size(), 1u);
    EXPECT_EQ(answer.errors[0].whose, ErrorOf::not_distinguishable);
    EXPECT_NEAR(answer.errors[0].value, 1.25, 1e-9);
    EXPECT_EQ(answer.units.size(), 2u);
}

// STD-1 is apart in K1's gain; in K2's gain it is beyond without being told apart.
TEST_F(Doubted, AreNotExcusedByAStandardThatIsApartElsewhere) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    auto check = check_at(500, CheckDecision::blocked, 0.0);
    check.points.clear();
    for (const char* key : {"K1", "K2"})
        for (const char* serial : {"STD-1", "STD-2", "STD-3"})
            for (const std::uint16_t nest : {std::uint16_t{1}, std::uint16_t{2}}) {
                auto point = check_at(500, CheckDecision::ready, 0.0).points[0];
                point.place.serial = serial;
                point.place.nest = nest;
                point.place.key = key;
                point.value = 500.0;
                if (point.place.serial == "STD-1" && point.place.key == "K1") {
                    point.value = 504.0;
                    point.state = ChartState::beyond;
                }
                check.points.push_back(point);
            }
    check.standards.push_back({"STD-1", 1, false, record::Verdict::fail, false, ""});
    auto excused = check;
    ledger.shift_check(excused);
    EXPECT_TRUE(doubt().units.empty());
    for (auto& point : check.points)
        if (point.place.key == "K2" && point.place.serial == "STD-1" && point.place.nest == 1)
            point.state = ChartState::beyond;
    check.at = support::at_second(501);
    ledger.shift_check(check);
    EXPECT_EQ(doubt().units.size(), 2u);
}

TEST_F(Doubted, StayInDoubtWhenTheStationIsReadyAgain) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    ledger.shift_check(check_at(500, CheckDecision::blocked, 4.0));
    ledger.shift_check(check_at(600, CheckDecision::ready, 0.0));
    const auto answer = doubt();
    EXPECT_FALSE(answer.still_blocked);
    EXPECT_EQ(answer.units.size(), 2u);
}

TEST_F(Doubted, AreAllWhereNoCheckWasEverGood) {
    ledger.shift_check(check_at(500, CheckDecision::blocked, 4.0));
    const auto answer = doubt();
    EXPECT_FALSE(answer.last_good);
    EXPECT_EQ(answer.units.size(), 3u);
    EXPECT_EQ(to_json(answer).at("units").as_array().size(), 3u);
}

TEST_F(Doubted, AreNotMeasuredInAnotherNestByTheSameError) {
    unit("other nest", 383.0, 320, 2);
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    ledger.shift_check(check_at(500, CheckDecision::blocked, 4.0));
    const auto answer = doubt();
    EXPECT_EQ(answer.units.size(), 3u);
    EXPECT_EQ(answer.would_change(), 1u);
}

TEST_F(Doubted, AreNoneWhileEveryCheckIsGood) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    const auto answer = doubt();
    EXPECT_FALSE(answer.blocking);
    EXPECT_TRUE(answer.units.empty());
    EXPECT_NE(sheet_of(answer).sentences.at(0).find("No shift check"), std::string::npos);
}

// A check repeated while the station is blocked takes nothing back, and an episode that is over
// keeps its units.
TEST_F(Doubted, StayInDoubtWhateverLaterChecksFind) {
    ledger.shift_check(check_at(200, CheckDecision::ready, 0.0));
    ledger.shift_check(check_at(500, CheckDecision::blocked, 4.0));
    auto repeated = check_at(520, CheckDecision::blocked, 0.0);
    repeated.points[0].state = ChartState::within;
    ledger.shift_check(repeated);
    const auto blocked = doubt();
    EXPECT_EQ(blocked.units.size(), 2u);
    EXPECT_EQ(blocked.would_change(), 1u) << "by the first check's error";
    ledger.shift_check(check_at(600, CheckDecision::ready, 0.0));
    ledger.shift_check(check_at(1000, CheckDecision::blocked, 4.0));
    const auto newest = doubt();
    ASSERT_EQ(newest.episodes.size(), 2u);
    EXPECT_EQ(newest.episode, 1u);
    ASSERT_EQ(newest.units.size(), 1u);
    EXPECT_EQ(newest.units[0].run.serial, "late");
    EXPECT_NE(sheet_of(newest).sentences.at(0).find("blocked 2 times"), std::string::npos);
    const auto earlier = units_in_doubt(ledger.reader(), "S1", "", 2).value();
    EXPECT_EQ(earlier.units.size(), 2u);
    EXPECT_EQ(earlier.would_change(), 1u);
    EXPECT_FALSE(earlier.still_blocked);
    EXPECT_EQ(to_json(earlier).at("episodes").as_array().size(), 2u);
    EXPECT_FALSE(units_in_doubt(ledger.reader(), "S1", "", 3)->problem.empty());
}

TEST_F(Doubted, AreNotToldOfAStationThatIsNone) {
    const auto answer = units_in_doubt(ledger.reader(), "S9", "").value();
    EXPECT_NE(answer.problem.find("No station 'S9' in these records: there is S1."),
              std::string::npos)
        << answer.problem;
    EXPECT_NE(
        sheet_of(doubt()).sentences.at(0).find("No shift check of this station was ever kept"),
        std::string::npos);
}

}  // namespace
}  // namespace padtrim::answers
