// Teaching on the virtual bench, in virtual time: the bench's panels lie where its own profile
// says, the profile that is taught is wrong by millimetres.
#include "station/engine/teach_run.hpp"

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_bench.hpp"
#include "fixtures/drivers/fixture.hpp"
#include "station/engine/motion_permit.hpp"
#include "tests/support/demo_documents.hpp"

namespace padtrim::engine {
namespace {

using namespace std::chrono_literals;
using metrology::Spot;
using port::FaultKind;
using port::Position;
using ::testing::HasSubstr;

Position by(double x, double y, double z) {
    return {Millimetre(x), Millimetre(y), Millimetre(z)};
}

class TeachOnBench : public ::testing::Test {
  protected:
    void open(double off_x, double off_y, std::chrono::milliseconds lease = 1h) {
        true_plan_ = test_support::demo_plan();
        plan_ = *true_plan_;
        plan_.fixture.nests[0].origin_x += Millimetre(off_x);
        plan_.fixture.nests[0].origin_y += Millimetre(off_y);
        plan_.fixture.finger->stop = "STOP";
        plan_.fixture.finger->resume = "GO ON";
        options_.map = true_plan_->map;
        options_.fixture = true_plan_->fixture;
        options_.fixture.finger = plan_.fixture.finger;
        options_.seed = 11;
        options_.units = 2;
        bench_ = std::make_unique<bench::VirtualBench>(clock_, options_);
        const auto link = [this](const language::PortName& name) { return bench_->link(name); };
        const auto beside = [&](std::unique_ptr<port::Interlock> interlock) {
            auto permit = std::make_unique<MotionPermit>(clock_, std::move(interlock), lease);
            permit_ = permit.get();
            return std::unique_ptr<port::Interlock>(std::move(permit));
        };
        auto fixture = drivers::Fixture::open(plan_, clock_, link, {}, beside);
        ASSERT_TRUE(fixture) << fixture.error().what;
        fixture_ = std::move(*fixture);
        parts_.clock = &clock_;
        parts_.relays = &fixture_->relays();
        parts_.interlock = fixture_->interlock();
        parts_.finger = fixture_->finger();
        parts_.nests = {{1, &fixture_->unit(1)}};
        run_ =
            std::make_unique<TeachRun>(parts_, plan_, TeachWish{}, [this](const TeachLook& look) {
                looks_.push_back(look);
                if (on_look_) on_look_();
            });
    }
    void begin() {
        ASSERT_TRUE(clock_.run(permit_->grant()));
        const auto begun = clock_.run(run_->begin());
        ASSERT_TRUE(begun) << begun.error().what;
    }
    [[nodiscard]] Spot true_place(std::size_t key) const {
        const language::Nest& nest = true_plan_->fixture.nests[0];
        const language::Key& at = true_plan_->map.keys[key];
        return {nest.origin_x + at.x, nest.origin_y + at.y};
    }
    [[nodiscard]] bool supply_is_off() {
        const std::vector<port::CoilState> off = {{plan_.fixture.nests[0].supply_coil, false}};
        return clock_.run(fixture_->relays().holds(off)).has_value();
    }
    [[nodiscard]] bench::Place true_stand() { return bench_->finger()->at(bench_->now()); }
    [[nodiscard]] Position stands() { return clock_.run(run_->where()).value(); }
    [[nodiscard]] const std::string& name(std::size_t key) const {
        return plan_.map.keys[key].name;
    }

    boost::asio::io_context context_;
    bench::VirtualClock clock_{context_};
    language::PlanPtr true_plan_;
    language::Plan plan_;
    bench::BenchOptions options_;
    std::unique_ptr<bench::VirtualBench> bench_;
    MotionPermit* permit_ = nullptr;
    std::unique_ptr<drivers::Fixture> fixture_;
    Parts parts_;
    std::unique_ptr<TeachRun> run_;
    std::vector<TeachLook> looks_;
    std::function<void()> on_look_;
};

TEST_F(TeachOnBench, FindsKeysWhereTheyAreAndNotWhereTheProfileHasThem) {
    open(2.3, -1.7);
    begin();
    std::vector<metrology::TaughtKey> taught;
    for (const std::size_t key : {0U, 3U, 7U}) {
        const auto found = clock_.run(run_->find(name(key), std::nullopt));
        ASSERT_TRUE(found) << found.error().what;
        EXPECT_NEAR(found->centre.x.value(), true_place(key).x.value(), 0.1);
        EXPECT_NEAR(found->centre.y.value(), true_place(key).y.value(), 0.1);
        EXPECT_LT(std::abs(found->repeat.value()), 0.1);
        EXPECT_GT(found->change, 50.0);
        const language::Key& drawn = plan_.map.keys[key];
        taught.push_back({drawn.name, {drawn.x, drawn.y}, found->centre});
    }
    const auto origin = metrology::origin_of(taught);
    const language::Nest& nest = true_plan_->fixture.nests[0];
    EXPECT_NEAR(origin.origin.x.value(), nest.origin_x.value(), 0.05);
    EXPECT_NEAR(origin.origin.y.value(), nest.origin_y.value(), 0.05);
    EXPECT_LT(origin.farthest.value(), 0.1);
    ASSERT_TRUE(clock_.run(run_->end()));
    EXPECT_GE(stands().z, plan_.fixture.finger->safe_height);
    EXPECT_TRUE(supply_is_off());
}

TEST_F(TeachOnBench, StartsWhereAPersonHasJoggedTheFinger) {
    open(30.0, 0.0);  // further than a search looks
    begin();
    EXPECT_FALSE(clock_.run(run_->find(name(2), std::nullopt)));
    const Spot place = true_place(2);
    const Spot near{place.x + Millimetre(1.5), place.y - Millimetre(2.0)};
    const auto found = clock_.run(run_->find(name(2), near));
    ASSERT_TRUE(found) << found.error().what;
    EXPECT_NEAR(found->centre.x.value(), place.x.value(), 0.1);
    EXPECT_NEAR(found->centre.y.value(), place.y.value(), 0.1);
}

TEST_F(TeachOnBench, JogsByBoundedStepsWithinTheTravel) {
    open(0.0, 0.0);
    begin();
    const Position before = stands();
    const auto moved = clock_.run(run_->jog(by(3.5, 2.0, 0.0)));
    ASSERT_TRUE(moved) << moved.error().what;
    EXPECT_NEAR((moved->x - before.x).value(), 3.5, 0.01);
    EXPECT_NEAR((moved->y - before.y).value(), 2.0, 0.01);
    EXPECT_THAT(clock_.run(run_->jog(by(10.5, 0.0, 0.0))).error().what, HasSubstr("10 mm at most"));
    EXPECT_THAT(clock_.run(run_->jog(by(std::nan(""), 0.0, 0.0))).error().what,
                HasSubstr("10 mm at most"));
    while (clock_.run(run_->jog(by(0.0, 0.0, -10.0)))) {
    }
    EXPECT_GE(stands().z, plan_.fixture.finger->surface_height);
    const auto outside = clock_.run(run_->jog(by(-10.0, 0.0, 0.0)));
    EXPECT_EQ(outside.error().kind, FaultKind::out_of_travel);
    EXPECT_THAT(outside.error().what, HasSubstr("The step would leave"));
}

// A place that is lost is no place to count a step from, and homing is no bounded step.
TEST_F(TeachOnBench, MakesNoStepAndNoSearchFromAPlaceThatIsLost) {
    open(0.0, 0.0);
    begin();
    ASSERT_TRUE(clock_.run(run_->jog(by(5.0, 5.0, 0.0))));
    bench_->set_guard(false);
    bench_->set_guard(true);  // the drives were cut: the controller was reset
    clock_.run_for(1s);
    const bench::Place before = true_stand();
    EXPECT_EQ(clock_.run(run_->where()).error().kind, FaultKind::position_lost);
    EXPECT_EQ(clock_.run(run_->jog(by(1.0, 0.0, 0.0))).error().kind, FaultKind::position_lost);
    EXPECT_EQ(clock_.run(run_->find(name(1), std::nullopt)).error().kind, FaultKind::position_lost);
    EXPECT_EQ(true_stand(), before);
    ASSERT_TRUE(clock_.run(run_->home()));
    EXPECT_EQ(stands().x, Millimetre(0.0));
    EXPECT_TRUE(clock_.run(run_->jog(by(1.0, 0.0, 0.0))));
}

// What a killed program left closed: pins on the panel, a target in front of the finger.
TEST_F(TeachOnBench, BeginsWithEveryRelayOpen) {
    open(0.0, 0.0);
    const std::uint16_t pins = plan_.fixture.nests[0].connect_coil;
    const std::vector<port::CoilState> left{{pins, true}, {0, true}};
    ASSERT_TRUE(clock_.run(permit_->grant()));
    ASSERT_TRUE(clock_.run(fixture_->relays().set(left)));
    begin();
    const std::vector<port::CoilState> now{{pins, false}, {0, false}};
    EXPECT_TRUE(clock_.run(fixture_->relays().holds(now)));
}

TEST_F(TeachOnBench, TellsAnotherFixtureBeforeAnythingMoves) {
    open(0.0, 0.0);
    plan_.fixture.identity = language::CodedIdentity{{2}, 1};  // open: number 0
    ASSERT_TRUE(clock_.run(permit_->grant()));
    EXPECT_EQ(clock_.run(run_->begin()).error().kind, FaultKind::wrong_device);
    EXPECT_FALSE(bench_->finger()->referenced());
}

TEST_F(TeachOnBench, EndsASearchThatIsGivenUpAndLiftsTheFinger) {
    open(1.0, 1.0);
    begin();
    on_look_ = [this] {
        if (looks_.size() == 4) run_->give_up();
    };
    EXPECT_THAT(clock_.run(run_->find(name(1), std::nullopt)).error().what, HasSubstr("given up"));
    EXPECT_EQ(looks_.size(), 4U);
    EXPECT_TRUE(clock_.run(run_->end()));
    EXPECT_GE(true_stand().z, plan_.fixture.finger->safe_height.value() - 0.01);
}

TEST_F(TeachOnBench, MovesNothingBeforeAPersonHasSaidSo) {
    open(0.0, 0.0);
    const auto begun = clock_.run(run_->begin());
    ASSERT_FALSE(begun);
    EXPECT_EQ(begun.error().kind, FaultKind::interlock_open);
    EXPECT_TRUE(supply_is_off());
}

// The finger stands within a look of the lease's end, and moves no more until it is granted again.
TEST_F(TeachOnBench, StopsTheFingerWhenTheLeaseRunsOut) {
    open(2.0, 1.0, 8s);
    begin();
    const auto found = clock_.run(run_->find(name(1), std::nullopt));
    ASSERT_FALSE(found);
    EXPECT_EQ(found.error().kind, FaultKind::interlock_open);
    EXPECT_THAT(found.error().what, HasSubstr("for 8 s"));
    const bench::Place stopped = true_stand();
    clock_.run_for(60s);
    EXPECT_EQ(true_stand(), stopped);
    EXPECT_FALSE(clock_.run(run_->jog(by(0.0, 0.0, 1.0))));
    const auto ended = clock_.run(run_->end());  // nor is it lifted at the end
    ASSERT_FALSE(ended);
    EXPECT_THAT(ended.error().what, HasSubstr("may still stand low over nest 1"));
    EXPECT_EQ(true_stand(), stopped);
    EXPECT_TRUE(supply_is_off());
}

TEST_F(TeachOnBench, StopsAtAnOpenGuardAndNeedsAPersonAfterwards) {
    open(1.0, 1.0);
    begin();
    on_look_ = [this] {
        if (looks_.size() == 5) bench_->set_guard(false);
    };
    const auto found = clock_.run(run_->find(name(1), std::nullopt));
    ASSERT_FALSE(found);
    EXPECT_THAT(found.error().what, HasSubstr("guard door"));
    bench_->set_guard(true);
    clock_.run_for(5s);
    EXPECT_THAT(clock_.run(run_->jog(by(0.0, 0.0, 1.0))).error().what, HasSubstr("guard door"));
    ASSERT_TRUE(clock_.run(permit_->grant()));
    ASSERT_TRUE(clock_.run(run_->home()));
    const auto again = clock_.run(run_->find(name(1), std::nullopt));
    ASSERT_TRUE(again) << again.error().what;
    EXPECT_NEAR(again->centre.x.value(), true_place(1).x.value(), 0.1);
}

TEST_F(TeachOnBench, EndsASearchAtOnceWhenAPersonSaysStop) {
    open(1.0, 1.0);
    begin();
    on_look_ = [this] {
        if (looks_.size() == 4) permit_->withdraw("Stopped by hand.");
    };
    EXPECT_EQ(clock_.run(run_->find(name(1), std::nullopt)).error().what, "Stopped by hand.");
    EXPECT_EQ(looks_.size(), 4U);
}

TEST_F(TeachOnBench, RefusesKeysThatItCannotFind) {
    open(0.0, 0.0);
    begin();
    EXPECT_THAT(clock_.run(run_->find("no such key", std::nullopt)).error().what,
                HasSubstr("has no key"));
    const Spot beside{Millimetre(5.0), Millimetre(5.0)};
    EXPECT_THAT(clock_.run(run_->find(name(7), beside)).error().what,
                HasSubstr("no touch is felt"));
}

}  // namespace
}  // namespace padtrim::engine
