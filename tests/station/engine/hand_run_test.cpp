// Relays and finger by hand on the virtual bench, in virtual time: what ends a lease, and that
// everything ends with it. That a lapsed lease stops what moves: ISO 12100 and IEC 60204-1 ask for
// a wired enabling device instead; this is the convenience beside it. Times: common practice, no
// source.
#include "station/engine/hand_run.hpp"

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_bench.hpp"
#include "fixtures/drivers/fixture.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::engine {
namespace {

using namespace std::chrono_literals;
using port::FaultKind;
using port::Position;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

constexpr std::chrono::milliseconds lease = 4s;
constexpr std::uint16_t arm = 46;  // of no other use in the demo profile

class ByHand : public ::testing::Test {
  protected:
    void open(const std::function<void(language::Plan&)>& change = [](language::Plan&) {}) {
        plan_ = *test_support::demo_plan();
        plan_.fixture.finger->stop = "STOP";
        plan_.fixture.finger->resume = "GO ON";
        options_.map = plan_.map;
        options_.fixture = plan_.fixture;
        options_.seed = 5;
        options_.units = 1;
        bench_ = std::make_unique<bench::VirtualBench>(clock_, options_);
        change(plan_);
        const auto link = [this](const language::PortName& name) { return bench_->link(name); };
        const auto beside = [&](std::unique_ptr<port::Interlock> interlock) {
            auto permit = std::make_unique<MotionPermit>(clock_, std::move(interlock), lease);
            permit_ = permit.get();
            return std::unique_ptr<port::Interlock>(std::move(permit));
        };
        auto fixture = drivers::Fixture::open(plan_, clock_, link, {}, beside);
        ASSERT_TRUE(fixture) << fixture.error().what;
        fixture_ = std::move(*fixture);
        Parts parts;
        parts.clock = &clock_;
        parts.relays = &fixture_->relays();
        parts.interlock = fixture_->interlock();
        parts.finger = fixture_->finger();
        run_ = std::make_unique<HandRun>(parts, plan_, *permit_);
    }
    // Until everything is open, with half a lease left.
    void take() {
        clock_.spawn(run_->run());
        clock_.run_for(lease / 2);
        ASSERT_EQ(state(), HandState::held) << said();
    }
    // Somebody keeps it alive for so long.
    void hold(std::chrono::nanoseconds time) {
        for (const auto end = clock_.now() + time; clock_.now() < end;) {
            permit_->renew();
            clock_.run_for(500ms);
        }
    }
    // Sets an act going; its outcome comes into `outcome_`.
    void begin(Act<void> act) {
        outcome_.reset();
        clock_.spawn(kept(std::move(act)));
    }
    port::Outcome<void> done(Act<void> act) {
        begin(std::move(act));
        for (int i = 0; i < 100 && !outcome_; ++i) hold(500ms);
        return outcome_.value();
    }
    boost::asio::awaitable<void> kept(Act<void> act) {
        auto outcome = co_await std::move(act);
        outcome_ = outcome;
    }
    [[nodiscard]] HandState state() const { return run_->standing().state; }
    [[nodiscard]] const std::string& said() const { return run_->standing().sentence; }
    [[nodiscard]] bool closed(std::uint16_t coil) const { return bench_->relays().closed(coil); }
    [[nodiscard]] std::size_t closed_coils() const {
        std::size_t count = 0;
        for (std::uint16_t coil = 0; coil < bench_->relays().size(); ++coil)
            count += closed(coil) ? 1 : 0;
        return count;
    }
    [[nodiscard]] std::uint16_t coil(std::uint16_t channel, const std::string& reference) const {
        return plan_.fixture.equipment.step(1, channel, reference)->coil;
    }
    [[nodiscard]] bench::Place true_stand() { return bench_->finger()->at(bench_->now()); }
    static Position by(double x, double y, double z) {
        return {Millimetre(x), Millimetre(y), Millimetre(z)};
    }

    boost::asio::io_context context_;
    bench::VirtualClock clock_{context_};
    language::Plan plan_;
    bench::BenchOptions options_;
    std::unique_ptr<bench::VirtualBench> bench_;
    MotionPermit* permit_ = nullptr;
    std::unique_ptr<drivers::Fixture> fixture_;
    std::unique_ptr<HandRun> run_;
    std::optional<port::Outcome<void>> outcome_;
};

TEST_F(ByHand, ConnectsOneReferenceStepAtATime) {
    open();
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    EXPECT_TRUE(closed(coil(3, "R2")));
    ASSERT_TRUE(done(run_->connect(1, 4, "R1")));
    EXPECT_FALSE(closed(coil(3, "R2")));
    EXPECT_TRUE(closed(coil(4, "R1")));
    EXPECT_EQ(closed_coils(), 1U);
    ASSERT_TRUE(run_->standing().connected);
    EXPECT_EQ(*run_->standing().connected, (Connection{1, 4, "R1", coil(4, "R1")}));
    ASSERT_TRUE(done(run_->connect(1, 0, "")));
    EXPECT_EQ(closed_coils(), 0U);
    EXPECT_FALSE(run_->standing().connected);
}

TEST_F(ByHand, CountsWhatTheContactsWorked) {
    open();
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));  // stands already
    ASSERT_TRUE(done(run_->connect(1, 0, "")));
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    EXPECT_THAT(run_->take_operations(), ElementsAre(record::CoilOperations{coil(3, "R2"), 2}));
}

TEST_F(ByHand, OpensEveryRelayWhenNothingIsHeardForTheLeasesTime) {
    open();
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    hold(20s);
    EXPECT_TRUE(closed(coil(3, "R2"))) << "while somebody holds it";
    permit_->renew();
    clock_.run_for(lease - 100ms);
    EXPECT_TRUE(closed(coil(3, "R2")));
    clock_.run_for(300ms);
    EXPECT_EQ(closed_coils(), 0U);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_THAT(said(), HasSubstr("for 4 s"));
    permit_->renew();  // too late
    EXPECT_THAT(done(run_->connect(1, 3, "R2")).error().what, HasSubstr("not in hand"));
    EXPECT_EQ(closed_coils(), 0U);
}

TEST_F(ByHand, OpensEveryRelayAtOnceWhenTheLeaseIsGivenBack) {
    open();
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    run_->give_back("Given back by M.");
    clock_.run_for(200ms);
    EXPECT_EQ(closed_coils(), 0U);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_EQ(said(), "Given back by M.");
}

TEST_F(ByHand, IsOverBeforeItBeginsWhenItIsGivenBackAtOnce) {
    open();
    run_->give_back("The page was closed.");
    clock_.spawn(run_->run());
    clock_.run_for(1s);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_EQ(said(), "The page was closed.");
    EXPECT_FALSE(permit_->granted());
}

TEST_F(ByHand, MovesNothingAndHomesNothingBeforeItIsTold) {
    open();
    take();
    hold(10s);
    EXPECT_FALSE(bench_->finger()->referenced());
    EXPECT_THAT(done(run_->step(by(1, 0, 0))).error().what, HasSubstr("Home it first"));
    EXPECT_THAT(done(run_->lift()).error().what, HasSubstr("Home it first"));
    EXPECT_FALSE(bench_->finger()->referenced());
    EXPECT_EQ(state(), HandState::held) << "a refusal leaves the lease";
    ASSERT_TRUE(done(run_->home()));
    EXPECT_TRUE(bench_->finger()->referenced());
    ASSERT_TRUE(run_->standing().at);
    EXPECT_GE(run_->standing().at->z, plan_.fixture.finger->safe_height);
}

TEST_F(ByHand, StepsWithinBoundsAndTravelAndGoesDownLast) {
    open();
    take();
    ASSERT_TRUE(done(run_->home()));
    ASSERT_TRUE(done(run_->over(1, plan_.map.keys[2].name)));
    const Position over = *run_->standing().at;
    EXPECT_NEAR(over.x.value(), (plan_.fixture.nests[0].origin_x + plan_.map.keys[2].x).value(),
                0.01);
    EXPECT_NEAR(over.z.value(), plan_.fixture.finger->safe_height.value(), 0.01);
    EXPECT_THAT(done(run_->step(by(5.1, 0, 0))).error().what, HasSubstr("5 mm at most"));
    while (done(run_->step(by(0, 0, -5)))) {
    }
    EXPECT_THAT(said(), HasSubstr("below the panel's surface"));
    EXPECT_GE(true_stand().z, plan_.fixture.finger->surface_height.value() - 0.01);
    // From low over the panel: up to the safe height, across, and down.
    begin(run_->step(by(5, 0, 0)));
    double highest = 0.0, low_and_aside = 0.0;
    const bench::Place from = true_stand();
    while (!outcome_) {
        permit_->renew();
        clock_.run_for(10ms);
        const bench::Place at = true_stand();
        highest = std::max(highest, at.z);
        const bool between = at.x > from.x + 0.05 && at.x < from.x + 4.95;
        if (between) low_and_aside = std::max(low_and_aside, 40.0 - at.z);
    }
    EXPECT_NEAR(highest, 40.0, 0.05);
    EXPECT_LT(low_and_aside, 0.05);
    ASSERT_TRUE(done(run_->lift()));
    for (int i = 0; i < 100 && done(run_->step(by(0, -5, 0))); ++i) {
    }
    EXPECT_EQ(outcome_->error().kind, FaultKind::out_of_travel);
    EXPECT_EQ(state(), HandState::held);
}

// An arm that a killed program left in front of a finger that may be low.
TEST_F(ByHand, SwingsATargetOffOnlyOnceTheFingerIsKnownToBeUp) {
    open([](language::Plan& plan) {
        language::Target target;
        target.name = "plate";
        target.coil = arm;
        plan.fixture.targets.push_back(target);
    });
    ASSERT_TRUE(clock_.run(permit_->grant()));
    const std::vector<port::CoilState> left{{arm, true}};
    ASSERT_TRUE(clock_.run(fixture_->relays().set(left)));
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    EXPECT_TRUE(closed(arm));
    begin(run_->home());
    while (!outcome_) {
        permit_->renew();
        clock_.run_for(10ms);
        if (!outcome_ && true_stand().z < 39.9) {
            EXPECT_TRUE(closed(arm));
        }
    }
    ASSERT_TRUE(*outcome_) << outcome_->error().what;
    EXPECT_FALSE(closed(arm));
}

TEST_F(ByHand, StopsTheFingerOnItsWayWhenTheLeaseRunsOut) {
    open();
    take();
    ASSERT_TRUE(done(run_->home()));
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    hold(1s);
    clock_.run_for(lease - 800ms);
    begin(run_->over(1, plan_.map.keys[7].name));
    clock_.run_for(600ms);
    ASSERT_TRUE(outcome_);
    EXPECT_EQ(outcome_->error().kind, FaultKind::interlock_open);
    EXPECT_EQ(state(), HandState::over);
    const bench::Place stopped = true_stand();
    EXPECT_EQ(closed_coils(), 0U);
    clock_.run_for(60s);
    EXPECT_EQ(true_stand(), stopped);
    EXPECT_LT(stopped.x, (plan_.fixture.nests[0].origin_x + plan_.map.keys[7].x).value() - 1.0);
}

TEST_F(ByHand, EndsAtAnOpenGuardWhetherAnythingMovesOrNot) {
    for (const bool moving : {false, true}) {
        open();
        take();
        ASSERT_TRUE(done(run_->home()));
        ASSERT_TRUE(done(run_->connect(1, 0, "R1")));
        if (moving) begin(run_->over(1, plan_.map.keys[7].name));
        clock_.run_for(50ms);
        bench_->set_guard(false);
        clock_.run_for(500ms);
        EXPECT_EQ(state(), HandState::over) << moving;
        EXPECT_THAT(said(), HasSubstr("guard door")) << moving;
        EXPECT_EQ(closed_coils(), 0U) << moving;
        bench_->set_guard(true);
        const bench::Place stopped = true_stand();
        clock_.run_for(10s);
        EXPECT_EQ(true_stand(), stopped) << "closing a guard begins nothing";
        EXPECT_FALSE(done(run_->home()));
        run_.reset();
    }
}

TEST_F(ByHand, DoesNotBeginUnderAnOpenGuard) {
    open();
    bench_->set_guard(false);
    clock_.spawn(run_->run());
    clock_.run_for(1s);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_THAT(said(), HasSubstr("guard door"));
}

TEST_F(ByHand, SwitchesNoCoilOfAnotherFixture) {
    open([](language::Plan& plan) { plan.fixture.identity = language::CodedIdentity{{2}, 1}; });
    const unsigned before = bench_->relays().switchings();
    clock_.spawn(run_->run());
    clock_.run_for(1s);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_THAT(said(), HasSubstr("is number 1"));
    EXPECT_EQ(bench_->relays().switchings(), before);
}

TEST_F(ByHand, EndsWhenAConnectedStepNoLongerReadsBack) {
    open();
    take();
    ASSERT_TRUE(done(run_->connect(1, 3, "R2")));
    hold(1s);
    EXPECT_EQ(state(), HandState::held);
    bench::Trouble stuck;
    stuck.kind = bench::TroubleKind::relay_open;
    stuck.place = coil(3, "R2");
    bench_->cause(stuck);
    hold(1s);
    EXPECT_EQ(state(), HandState::over);
    EXPECT_THAT(said(), HasSubstr("coil"));
    EXPECT_EQ(closed_coils(), 0U);
}

TEST_F(ByHand, DoesOneActAtATime) {
    open();
    take();
    ASSERT_TRUE(done(run_->home()));
    begin(run_->over(1, plan_.map.keys[7].name));
    clock_.run_for(50ms);
    EXPECT_EQ(state(), HandState::busy);
    const auto second = clock_.run(run_->connect(1, 0, "R1"));
    EXPECT_THAT(second.error().what, HasSubstr("under way"));
    for (int i = 0; i < 20 && state() == HandState::busy; ++i) hold(500ms);
    EXPECT_EQ(state(), HandState::held);
    EXPECT_EQ(closed_coils(), 0U);
}

TEST_F(ByHand, RefusesAFingerThatNoWordCanStop) {
    open([](language::Plan& plan) { plan.fixture.finger->stop.clear(); });
    take();
    EXPECT_THAT(done(run_->home()).error().what, HasSubstr("finger.stop"));
    EXPECT_TRUE(done(run_->connect(1, 0, "R1")));
}

TEST_F(ByHand, KnowsOnlyStepsAndKeysOfTheFixture) {
    open();
    take();
    ASSERT_TRUE(done(run_->home()));
    EXPECT_THAT(done(run_->connect(1, 99, "R1")).error().what, HasSubstr("channel 99"));
    EXPECT_THAT(done(run_->connect(9, 0, "R1")).error().what, HasSubstr("Nest 9"));
    EXPECT_THAT(done(run_->over(1, "nobody")).error().what, HasSubstr("no key"));
    EXPECT_EQ(state(), HandState::held);
}

}  // namespace
}  // namespace padtrim::engine
