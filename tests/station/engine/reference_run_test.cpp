// The characterisation on the virtual bench: real drivers, a meter with leads, and a known truth.
#include "station/engine/reference_run.hpp"

#include <boost/asio/io_context.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/bench/virtual_bench.hpp"
#include "fixtures/drivers/reference_stand.hpp"
#include "recipes/language/load.hpp"

namespace padtrim::engine {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

class References : public ::testing::Test {
  protected:
    References() {
        const std::string root = PADTRIM_SOURCE_DIR "/fixtures/";
        const auto text = [](const std::string& path) {
            return language::text_of_file(path).value();
        };
        options_.map =
            *language::read_register_map(text(root + "units/lamp-panel-slider-wheel.toml"), "")
                 .value;
        options_.fixture =
            *language::read_fixture_profile(text(root + "profiles/lamp-line-1-nest-scpi.toml"), "")
                 .value;
        options_.seed = 5;
        options_.ambient_spread = 0.0;
    }
    void open() {
        bench_ = std::make_unique<bench::VirtualBench>(clock_, options_);
        const auto link = [this](const language::PortName& port) { return bench_->link(port); };
        auto stand = drivers::ReferenceStand::open(options_.fixture, clock_, link, {});
        ASSERT_TRUE(stand) << stand.error().what;
        stand_ = std::move(*stand);
    }
    port::Outcome<std::vector<metrology::TipReadings>> read(unsigned repeats = 3) {
        ReferenceRun run;
        run.profile = &options_.fixture;
        run.relays = &stand_->relays();
        run.meter = &stand_->meter();
        run.interlock = stand_->interlock();
        run.repeats = repeats;
        run.progress = [this](std::size_t done, std::size_t) {
            if (before_tip) before_tip(done);
        };
        return clock_.run(read_tips(run));
    }
    [[nodiscard]] int closed() const {
        int count = 0;
        for (std::uint16_t coil = 0; coil < options_.fixture.relays.coils; ++coil)
            count += bench_->relays().closed(coil);
        return count;
    }

    boost::asio::io_context context_;
    bench::VirtualClock clock_{context_};
    bench::BenchOptions options_;
    std::unique_ptr<bench::VirtualBench> bench_;
    std::unique_ptr<drivers::ReferenceStand> stand_;
    std::function<void(std::size_t)> before_tip;
};

TEST_F(References, AreFoundWithinWhatIsStated) {
    open();
    const auto readings = read();
    ASSERT_TRUE(readings) << readings.error().what;
    const auto judged = metrology::characterise(options_.fixture, *readings);
    ASSERT_EQ(judged.problem, "");
    ASSERT_EQ(judged.found.steps.size(), options_.fixture.equipment.steps.size());
    for (const auto& each : judged.found.steps)
        for (const auto& truth : bench_->fixture_truth().steps)
            if (truth.channel == each.step.channel && truth.reference == each.step.reference) {
                // Twice the expanded uncertainty: fifty intervals at 95 %.
                EXPECT_NEAR(each.step.value.value(), truth.value,
                            2.0 * each.step.expanded_uncertainty.value());
            }
    for (const auto& each : judged.found.parts)
        EXPECT_NEAR(each.value.value(), bench_->fixture_truth().part(1, each.channel),
                    2.0 * each.expanded_uncertainty.value());
    EXPECT_EQ(closed(), 0);
    EXPECT_THAT(bench_->mishaps(), IsEmpty());
}

// Raw readings are off by the leads; only the correction makes them right.
TEST_F(References, AreWrongWithoutOpenAndShort) {
    open();
    const auto readings = read();
    ASSERT_TRUE(readings);
    const auto& tip = readings->front();
    const auto raw = metrology::parallel_capacitance(tip.retracted.front(),
                                                     options_.fixture.equipment.frequency);
    EXPECT_GT(raw->value(), 1.2);  // the pad's 0.6 pF and the leads' 0.8 pF
    const auto z = metrology::open_short_corrected(tip.retracted.front(), tip.open, tip.shorted);
    EXPECT_NEAR(metrology::parallel_capacitance(*z, options_.fixture.equipment.frequency)->value(),
                0.6, 0.01);
}

TEST_F(References, LeaveEverythingOpenWhenTheMeterGoes) {
    open();
    before_tip = [this](std::size_t done) {
        if (done == 4) bench_->unplug("meter");
    };
    const auto readings = read();
    ASSERT_FALSE(readings);
    EXPECT_EQ(readings.error().kind, port::FaultKind::port_lost);
    EXPECT_EQ(closed(), 0);
}

TEST_F(References, PressNoPinsWhileTheGuardIsOpen) {
    open();
    bench_->set_guard(false);
    const auto readings = read();
    ASSERT_FALSE(readings);
    EXPECT_EQ(readings.error().kind, port::FaultKind::interlock_open);
    EXPECT_EQ(closed(), 0);
}

TEST_F(References, EndWithARelayThatDoesNotFollow) {
    options_.stuck_relays = {{.coil = 56, .closed = false}};
    open();
    const auto readings = read();
    ASSERT_FALSE(readings);
    EXPECT_THAT(readings.error().what, HasSubstr("56 (stays open)"));
    EXPECT_EQ(closed(), 0);
}

TEST_F(References, NeedAMeterInTheProfile) {
    options_.fixture.meter.reset();
    bench_ = std::make_unique<bench::VirtualBench>(clock_, options_);
    const auto link = [this](const language::PortName& port) { return bench_->link(port); };
    const auto stand = drivers::ReferenceStand::open(options_.fixture, clock_, link, {});
    ASSERT_FALSE(stand);
    EXPECT_THAT(stand.error().what, HasSubstr("has no meter"));
}

}  // namespace
}  // namespace padtrim::engine
