#include "station/answers/station_status.hpp"

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

using namespace std::chrono_literals;
using record::Disposition;
using record::Verdict;

record::CheckResult check(const std::string& key, double margin, Verdict verdict) {
    record::CheckResult result;
    result.check = "touch response";
    result.key = key;
    result.value = 212.0;
    result.unit = "counts";
    result.standard_uncertainty = 9.0;
    result.expanded_uncertainty = 18.0;
    result.low = 250.0;
    result.margin = margin;
    result.verdict = verdict;
    return result;
}

engine::UnitFinished finished(std::uint16_t nest, const std::string& serial, Verdict verdict,
                              Disposition disposition = Disposition::released) {
    engine::UnitFinished event;
    event.nest = nest;
    event.serial = serial;
    event.result.verdict = verdict;
    event.result.disposition = disposition;
    event.result.reason = "Key 8 responds too little.";
    event.result.next_step = "Set aside. Check the glue at key 8.";
    event.count.loaded = 1;
    return event;
}

StationStatus after(std::initializer_list<engine::Event> events) {
    StationStatus status;
    for (const auto& event : events) apply(status, event);
    return status;
}

TEST(StationStatus, RunsWhileALotIsOpenAndIsReadyAfterwards) {
    StationStatus status = after({engine::LotOpened{"L1", {}}});
    EXPECT_EQ(status.state, StationState::running);
    EXPECT_EQ(status.lot, "L1");
    apply(status, engine::LotClosed{{}, "no more units"});
    EXPECT_EQ(status.state, StationState::ready);
    EXPECT_EQ(status.ended, "no more units");
    EXPECT_EQ(next_sentence(status), "Start a lot.");
}

TEST(StationStatus, KeepsNestsInTheirOrderWhicheverSpeaksFirst) {
    const auto status = after({engine::UnitIdentified{3, "C"}, engine::UnitIdentified{1, "A"},
                               engine::UnitIdentified{2, "B"}});
    ASSERT_EQ(status.nests.size(), 3u);
    EXPECT_EQ(status.nests[0].serial, "A");
    EXPECT_EQ(status.nests[2].number, 3);
}

TEST(StationStatus, TapeKeepsTheOrderInWhichUnitsCame) {
    const auto status = after({engine::UnitIdentified{1, "A"}, engine::UnitIdentified{2, "B"},
                               finished(2, "B", Verdict::fail, Disposition::rework),
                               engine::UnitSetAside{2, "A", "has passed already", "", true, {}},
                               finished(1, "A", Verdict::pass)});
    ASSERT_EQ(status.tape.size(), 3u);
    EXPECT_EQ(status.tape[0].mark, Mark::pass);
    EXPECT_EQ(status.tape[1].mark, Mark::fail);
    EXPECT_EQ(status.tape[2].mark, Mark::removed);
}

TEST(StationStatus, CountsAUnitThatIsSetAsideAndSaysWhatToDoWithIt) {
    const auto status = after({engine::UnitSetAside{
        2, "A", "It was scrapped.", "Take it out.", true, {1, 0, 0, 0, 0, 1}}});
    EXPECT_EQ(status.count.removed, 1u);
    EXPECT_EQ(status.nests.at(0).reason, "It was scrapped.");
    EXPECT_EQ(next_sentence(status), "Nest 2: Take it out.");
}

TEST(StationStatus, KnowsWhatTheStackLightShows) {
    const auto lamps = [](const StationStatus& status) { return lamps_of(status.condition.now()); };
    auto status = after({engine::LotOpened{"L", {}}});
    EXPECT_EQ(lamps(status), (engine::Lamps{true, false, false}));
    apply(status, engine::PersonAsked{1, "A", "Is it clean?", ""});
    EXPECT_EQ(lamps(status), (engine::Lamps{true, true, false}));
    apply(status,
          engine::FaultSeen{0, {"touch", "open", "guard", "It is open.", record::Blame::fixture}});
    EXPECT_TRUE(lamps(status).red);
    EXPECT_FALSE(lamps(status).green);
}

TEST(StationStatus, RemembersTheNewestUnitThatDidNotPassWhileOthersRun) {
    StationStatus status = after({finished(2, "B", Verdict::fail), finished(1, "A", Verdict::pass),
                                  engine::UnitIdentified{2, "C"}});
    EXPECT_EQ(status.last_not_passed,
              "B (nest 2): Key 8 responds too little. Set aside. Check the glue at key 8.");
    apply(status, engine::LotOpened{"L2", {}});
    EXPECT_EQ(status.last_not_passed, "");
}

TEST(StationStatus, AUnitThatComesTwiceHasTwoMarks) {
    const auto status =
        after({engine::UnitIdentified{1, "A"}, finished(1, "A", Verdict::no_verdict),
               engine::UnitIdentified{1, "A"}, finished(1, "A", Verdict::pass)});
    ASSERT_EQ(status.tape.size(), 2u);
    EXPECT_EQ(status.tape[0].mark, Mark::no_verdict);
    EXPECT_EQ(status.tape[1].mark, Mark::pass);
}

TEST(StationStatus, ANestThatCallsForHelpStandsOnTheTapeAndAsks) {
    StationStatus status =
        after({engine::LotOpened{"L", {}}, engine::UnitIdentified{1, "A"},
               finished(1, "A", Verdict::fail), engine::NestPaused{1, "It calls for help: why."}});
    ASSERT_EQ(status.tape.size(), 2u);
    EXPECT_EQ(status.tape[1].mark, Mark::paused);
    EXPECT_EQ(next_sentence(status), "Nest 1: It calls for help: why.");
    apply(status, engine::PersonAsked{1, "", "It calls for help: why. Go on?", ""});
    EXPECT_EQ(next_sentence(status), "Nest 1: It calls for help: why. Go on? Answer yes or no.");
    apply(status, engine::NestResumed{1});
    EXPECT_EQ(next_sentence(status), "Wait for the next unit.");
}

TEST(StationStatus, QuarantineOutranksTheVerdictInTheDrawing) {
    EXPECT_EQ(mark_of(Verdict::fail, Disposition::quarantined), Mark::quarantined);
    EXPECT_EQ(mark_of(Verdict::no_verdict, Disposition::undecided), Mark::no_verdict);
}

TEST(StationStatus, AFixtureFaultBlocksAndAUnitFaultDoesNot) {
    record::FaultNote fault;
    fault.what = "Close the guard.";
    fault.blame = record::Blame::unit;
    StationStatus status = after({engine::LotOpened{"L", {}}, engine::FaultSeen{2, fault}});
    EXPECT_EQ(status.state, StationState::running);
    fault.blame = record::Blame::fixture;
    apply(status, engine::FaultSeen{0, fault});
    apply(status, engine::LotClosed{{}, "a fault"});
    EXPECT_EQ(status.state, StationState::blocked);
    EXPECT_EQ(next_sentence(status), "Close the guard.");
}

TEST(NextSentence, PutsAUnitThatNeedsAHandBeforeWaiting) {
    StationStatus status = after({engine::LotOpened{"L", {}}, finished(2, "B", Verdict::fail),
                                  engine::StepProgress{1, "A", "touch", "4", 1, 2, 9000ms}});
    EXPECT_EQ(next_sentence(status), "Nest 2: Set aside. Check the glue at key 8.");
    apply(status, engine::UnitIdentified{2, "C"});
    apply(status, engine::StepProgress{2, "C", "noise", "", 1, 2, 12000ms});
    EXPECT_EQ(next_sentence(status), "Wait, 9 s.");
    apply(status, engine::StepProgress{1, "A", "touch", "", 0, 1, 9000ms, "the finger"});
    EXPECT_EQ(next_sentence(status), "Wait, 12 s.") << "how long that takes is not known";
    apply(status, engine::StepProgress{1, "A", "touch", "4", 1, 2, 9000ms});
    EXPECT_EQ(status.nests[0].waits_for, "");
    apply(status, engine::NestWaiting{1, "Load the next unit."});
    EXPECT_EQ(next_sentence(status), "Nest 1: Load the next unit.");
}

TEST(StationStatus, FillsTheKeysOfARunningUnitAndNoOther) {
    const engine::KeysJudged judged{1, "A", {check("1", 1.5, Verdict::pass)}};
    auto status = after({engine::UnitIdentified{1, "A"},
                         engine::StepProgress{1, "A", "touch", "1", 0, 2, 9000ms}, judged});
    ASSERT_EQ(status.nests.at(0).keys.size(), 1u);
    EXPECT_DOUBLE_EQ(status.nests[0].keys[0].margin, 1.5);
    apply(status, engine::StepProgress{1, "A", "touch", "2", 1, 2, 8000ms});
    EXPECT_EQ(status.nests[0].keys.size(), 1u) << "progress keeps them";
    apply(status, engine::KeysJudged{
                      1, "A", {check("2", 0.4, Verdict::fail), check("1", 0.9, Verdict::pass)}});
    ASSERT_EQ(status.nests[0].keys.size(), 2u);
    EXPECT_DOUBLE_EQ(status.nests[0].keys[0].margin, 0.9) << "the newest of a key";
    apply(status, engine::UnitIdentified{1, "B"});
    EXPECT_TRUE(status.nests[0].keys.empty()) << "the next unit begins anew";
    apply(status, engine::NestWaiting{1, "Load the next unit."});
    apply(status, judged);
    EXPECT_TRUE(status.nests[0].keys.empty()) << "of no unit";
}

TEST(WorstMargins, NameTheCheckThatDecidedEachKey) {
    record::UnitResult result;
    result.checks = {check("1", 2.0, Verdict::pass), check("1", 0.4, Verdict::pass),
                     check("2", 0.9, Verdict::pass), check("2", 0.95, Verdict::fail),
                     check("", -3.0, Verdict::fail)};
    const auto keys = worst_margins(result.checks);
    ASSERT_EQ(keys.size(), 2u);
    EXPECT_DOUBLE_EQ(keys[0].margin, 0.4);
    EXPECT_EQ(keys[1].verdict, Verdict::fail);
    EXPECT_EQ(keys[1].sentence, "touch response 212(9) counts, at least 250 needed");
}

TEST(WorstMargins, LeaveOutConditionsThatHoldAndTellThoseThatDoNot) {
    record::UnitResult result;
    result.checks = {check("1", 2.0, Verdict::pass), check("1", 0.5, Verdict::pass),
                     check("2", 2.0, Verdict::pass), check("2", -0.5, Verdict::fail)};
    for (std::size_t at : {1u, 3u}) {
        result.checks[at].check = "touch report";
        result.checks[at].standard_uncertainty = result.checks[at].expanded_uncertainty = 0.0;
    }
    const auto keys = worst_margins(result.checks);
    ASSERT_EQ(keys.size(), 2u);
    EXPECT_DOUBLE_EQ(keys[0].margin, 2.0);
    EXPECT_EQ(keys[1].check, "touch report");
    result.checks[2].verdict = Verdict::fail;  // what was measured says more
    EXPECT_EQ(worst_margins(result.checks)[1].check, "touch response");
}

TEST(QuarantinedUnits, CountByTheNewestMarkOfASerial) {
    StationStatus status;
    status.tape = {{"A", 1, Mark::quarantined},
                   {"B", 2, Mark::quarantined},
                   {"A", 1, Mark::pass},
                   {"", 1, Mark::quarantined},
                   {"C", 1, Mark::fail}};
    EXPECT_EQ(quarantined_units(status), 2u);
}

TEST(LineOf, SaysWhatHappenedOnOneLineWhateverTheSerialHolds) {
    const std::string odd = "A\n\x1b[31mB";
    for (const engine::Event& event :
         {engine::Event(engine::UnitIdentified{1, odd}),
          engine::Event(engine::UnitSetAside{1, odd, odd, odd, true, {}}),
          engine::Event(finished(1, odd, Verdict::fail)),
          engine::Event(engine::StepProgress{1, odd, "touch", odd, 1, 2, 100ms})}) {
        const std::string line = line_of(event);
        EXPECT_EQ(line.find_first_of("\n\x1b"), std::string::npos) << line;
        EXPECT_NE(line.find("A\\x0a"), std::string::npos) << line;
    }
}

TEST(LineOf, ReconcilesTheLotAtItsEnd) {
    EXPECT_EQ(line_of(engine::LotClosed{{24, 18, 4, 1, 1, 0}, "no more units"}),
              "lot ends: loaded 24 = pass 18 + fail 4 + inconclusive 1 + no verdict 1 + removed 0; "
              "no more units");
}

}  // namespace
}  // namespace padtrim::answers
