// What the stack light shows: by the table, and on the virtual bench's relays.
#include "station/engine/stack_light.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/engine/bench_rig.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::engine::testing {
namespace {

TEST(Lamps, AreGreenWhileTheLotRunsAndRedWithAFault) {
    EXPECT_EQ(lamps_of({}), (Lamps{false, false, false}));
    EXPECT_EQ(lamps_of({true, false, false}), (Lamps{true, false, false}));
    EXPECT_EQ(lamps_of({true, true, false}), (Lamps{true, true, false}));
    EXPECT_EQ(lamps_of({true, true, true}), (Lamps{false, true, true}));
    EXPECT_EQ(lamps_of({false, false, true}), (Lamps{false, false, true}));
}

TEST(Lamps, CallWhenYellowOrRedComesOn) {
    const Lamps dark, green{true, false, false}, yellow{true, true, false}, red{false, false, true};
    EXPECT_FALSE(calls(dark, green));
    EXPECT_TRUE(calls(green, yellow));
    EXPECT_FALSE(calls(yellow, yellow));
    EXPECT_TRUE(calls(yellow, red));
    EXPECT_FALSE(calls(red, dark));
}

TEST(ConditionOfLot, FollowsQuestionsPausesAndFaults) {
    ConditionOfLot lot;
    EXPECT_TRUE(lot.take(LotOpened{"L1", {}}));
    EXPECT_EQ(lot.now(), (LotCondition{true, false, false}));
    lot.take(PersonAsked{1, "", "Sure?", ""});
    lot.take(NestPaused{2, "help"});
    EXPECT_TRUE(lot.now().person_needed);
    EXPECT_FALSE(lot.take(StepProgress{1, "", "", "", 0, 1, {}}));  // nest 2 still waits
    EXPECT_TRUE(lot.take(NestResumed{2}));
    EXPECT_FALSE(lot.now().person_needed);
    FaultSeen of_unit{1, {}};
    of_unit.fault.blame = record::Blame::unit;
    EXPECT_FALSE(lot.take(of_unit));
    EXPECT_TRUE(lot.take(FaultSeen{0, {}}));
    EXPECT_TRUE(lot.now().fault);
    lot.take(LotClosed{{}, ""});
    EXPECT_EQ(lot.now(), (LotCondition{false, false, true}));
    lot.take(LotOpened{"L1", {}});
    EXPECT_EQ(lot.now(), (LotCondition{true, false, false}));
}

// The demo fixture's board has no coils of its own from 48 on.
language::PlanPtr lit_plan() {
    language::Plan plan = quick_plan();
    plan.fixture.relays.coils = 64;
    plan.fixture.stack_light = language::StackLight{60, 61, 62, 63, std::chrono::seconds(2)};
    return std::make_shared<const language::Plan>(std::move(plan));
}

class StackLightOnBench : public ::testing::Test {
  protected:
    [[nodiscard]] std::string lit() const {
        std::string coils;
        for (std::uint16_t coil = 60; coil < 64; ++coil)
            if (rig.bench.relays().closed(coil)) coils += std::to_string(coil) + " ";
        return coils;
    }
    static bench::BenchOptions two_units() {
        bench::BenchOptions options;
        options.units = 2;
        return options;
    }
    BenchRig rig{lit_plan(), two_units()};
};

TEST_F(StackLightOnBench, IsGreenWhileUnitsRunAndDarkAfterAGoodLot) {
    std::vector<std::string> seen;
    rig.on_event = [&](const Event& event) {
        if (std::holds_alternative<UnitFinished>(event)) seen.push_back(lit());
    };
    const LotOutcome lot = rig.run();
    EXPECT_FALSE(lot.station_fault) << lot.reason;
    EXPECT_THAT(seen, ::testing::Each("60 "));
    EXPECT_FALSE(seen.empty());
    EXPECT_EQ(lit(), "");
}

TEST_F(StackLightOnBench, StaysRedAfterAFaultAndTheBuzzerEnds) {
    rig.on_event = [&](const Event& event) {
        if (std::holds_alternative<UnitIdentified>(event)) rig.bench.set_guard(false);
    };
    const LotOutcome lot = rig.run();
    EXPECT_TRUE(lot.station_fault);
    EXPECT_EQ(lit(), "62 ");
    // A lamp that comes on while all relays are opened and looked at is no stuck relay.
    for (const Event& event : rig.events) {
        const auto* seen = std::get_if<FaultSeen>(&event);
        const std::string what = seen != nullptr ? seen->fault.what : "";
        EXPECT_THAT(what, ::testing::Not(::testing::HasSubstr("do not follow")));
    }
    rig.bench.set_guard(true);
    rig.on_event = nullptr;
    EXPECT_FALSE(rig.run().station_fault);
    EXPECT_EQ(lit(), "");
}

// A person who takes a second to answer yes, and looks at the lamps then.
class Onlooker final : public Person {
  public:
    Onlooker(port::Clock& clock, std::function<void()> look)
        : clock_(clock), look_(std::move(look)) {}
    [[nodiscard]] boost::asio::awaitable<std::optional<bool>> ask(const Question&) override {
        co_await clock_.sleep_for(std::chrono::seconds(1));
        look_();
        co_return true;
    }

  private:
    port::Clock& clock_;
    std::function<void()> look_;
};

TEST_F(StackLightOnBench, FailsNoLotWhenALampDoesNotFollow) {
    bench::Trouble stuck;
    stuck.kind = bench::TroubleKind::relay_open;
    stuck.place = 60;
    rig.bench.cause(stuck);
    const LotOutcome lot = rig.run();
    EXPECT_FALSE(lot.station_fault) << lot.reason;
    EXPECT_THAT(rig.log, ::testing::Contains(::testing::HasSubstr("stack light does not follow")));
}

TEST_F(StackLightOnBench, IsYellowWithTheBuzzerWhileAPersonIsAsked) {
    language::Plan plan = *lit_plan();
    language::AskStep ask;
    ask.text = "Is the label straight?";
    plan.recipe.steps.insert(plan.recipe.steps.begin() + 1, {"label", {}, ask});
    BenchRig asking(std::make_shared<const language::Plan>(std::move(plan)), two_units());
    std::vector<bool> yellow, buzzer, afterwards;
    const auto closed = [&](std::uint16_t coil) { return asking.bench.relays().closed(coil); };
    Onlooker person(asking.clock, [&] {
        yellow.push_back(closed(61));
        buzzer.push_back(closed(63));
    });
    asking.person = &person;
    asking.on_event = [&](const Event& event) {
        if (!std::holds_alternative<UnitFinished>(event)) return;
        afterwards.push_back(closed(61));
        afterwards.push_back(closed(63));
    };
    EXPECT_FALSE(asking.run().station_fault);
    EXPECT_THAT(yellow, ::testing::ElementsAre(true, true));
    EXPECT_THAT(buzzer, ::testing::ElementsAre(true, true));
    EXPECT_THAT(afterwards, ::testing::ElementsAre(false, false, false, false));
}

}  // namespace
}  // namespace padtrim::engine::testing
