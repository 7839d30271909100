#include "station/answers/lying_units.hpp"

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

class Lying : public ::testing::Test {
  protected:
    StationStatus status;
    LyingUnits lying{{1}};  // nest 1 is loaded by hand, nest 2 by a handler

    void tell(const engine::Event& event) {
        apply(status, event);
        lying.apply(status, event);
    }
    void finish(std::uint16_t nest, const std::string& serial, record::Verdict verdict) {
        tell(engine::UnitIdentified{nest, serial});
        engine::UnitFinished finished;
        finished.nest = nest;
        finished.serial = serial;
        finished.result.verdict = verdict;
        finished.result.reason = "It is bad.";
        finished.result.next_step = "Set aside. Check the glue at key 8.";
        tell(finished);
    }
    void wait_for_next(std::uint16_t nest) {
        tell(engine::NestWaiting{nest, "Load the next unit into nest 1."});
    }
};

TEST_F(Lying, ARejectedUnitIsPutAwayBeforeTheNextSentence) {
    finish(1, "S1", record::Verdict::fail);
    wait_for_next(1);
    EXPECT_EQ(next_sentence(status), "Nest 1: Load the next unit into nest 1.");
    EXPECT_EQ(next_sentence(status, lying.all()), "Nest 1: Set aside. Check the glue at key 8.");
    EXPECT_EQ(lying.confirm(status, 2), std::nullopt);
    EXPECT_EQ(lying.confirm(status, 1), "S1");
    EXPECT_EQ(lying.confirm(status, 1), std::nullopt);
    EXPECT_EQ(next_sentence(status, lying.all()), "Nest 1: Load the next unit into nest 1.");
}

TEST_F(Lying, APassedUnitIsShownUntilTheNextOneComes) {
    finish(1, "S1", record::Verdict::pass);
    wait_for_next(1);
    ASSERT_EQ(lying.all().size(), 1u);
    EXPECT_EQ(lying.all()[0].nest.mark, Mark::pass);
    EXPECT_FALSE(lying.all()[0].to_confirm);
    tell(engine::UnitIdentified{1, "S2"});
    EXPECT_TRUE(lying.all().empty());
}

TEST_F(Lying, ALotThatEndedWantsNothingMoreOfAUnitThatLiesApart) {
    finish(1, "S1", record::Verdict::fail);
    tell(engine::LotClosed{{}, "no more units"});
    EXPECT_EQ(next_sentence(status, lying.all()), "Nest 1: Set aside. Check the glue at key 8.");
    EXPECT_EQ(lying.confirm(status, 1), "S1");
    EXPECT_EQ(next_sentence(status, lying.all()), "Start a lot.");
    EXPECT_EQ(status.nests.at(0).mark, Mark::fail);  // it is still drawn
}

TEST_F(Lying, AHandlerPutsItsUnitsAwayItself) {
    finish(2, "S1", record::Verdict::fail);
    ASSERT_EQ(lying.all().size(), 1u);
    EXPECT_FALSE(lying.all()[0].to_confirm);
}

TEST_F(Lying, NothingIsForgottenUnderTheNextUnit) {
    finish(1, "S1", record::Verdict::fail);
    finish(1, "S2", record::Verdict::no_verdict);
    ASSERT_EQ(lying.all().size(), 2u);
    EXPECT_EQ(lying.confirm(status, 1), "S1");
    EXPECT_EQ(lying.confirm(status, 1), "S2");
}

TEST_F(Lying, AFaultAndAQuestionComeFirst) {
    finish(1, "S1", record::Verdict::fail);
    engine::PersonAsked asked;
    asked.nest = 2;
    asked.question = "Is the label straight?";
    tell(asked);
    EXPECT_EQ(next_sentence(status, lying.all()).find("Nest 2: Is the label straight?"), 0u);
    status.state = StationState::blocked;
    status.last_fault = "The guard is open. Close it.";
    EXPECT_EQ(next_sentence(status, lying.all()), "The guard is open. Close it.");
}

}  // namespace
}  // namespace padtrim::answers
