// The same recipe that calibrates our bench's units calibrates a unit whose Modbus server is
// libmodbus, over real bytes on pseudo-terminals. Relay board, finger and climate are in memory.
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "fixtures/drivers/modbus_panel_unit.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/tty_link.hpp"
#include "station/engine/lot_run.hpp"
#include "tests/fixtures/serial/real_time.hpp"
#include "tests/peers/libmodbus_panel.hpp"
#include "tests/peers/pty_bridge.hpp"
#include "tests/support/demo_documents.hpp"
#include "tests/support/memory_journal.hpp"
#include "tests/support/plain_station.hpp"

namespace padtrim::peers {
namespace {

using port::Outcome;
using port::Task;

// What the panel feels follows from what the fixture in memory was told.
class FeltFixture {
  public:
    FeltFixture(test_support::PlainStation& station, const language::Plan& plan,
                LibmodbusPanel& panel)
        : station_(station), plan_(plan), panel_(panel) {}

    void relays_moved() {
        const language::Nest& nest = plan_.fixture.nests.front();
        std::vector<double> loads(plan_.map.channels, 0.0);
        if (station_.coils()[nest.connect_coil]) {
            for (const auto& part : plan_.fixture.equipment.fixture_parts)
                loads[part.channel] += part.value.value();
            for (const auto& step : plan_.fixture.equipment.steps)
                if (station_.coils()[step.coil]) loads[step.channel] += step.value.value();
        }
        panel_.set_loads(loads);
        panel_.set_power(station_.coils()[nest.supply_coil]);
    }
    void finger_moved(const port::Position& at) {
        const language::Nest& nest = plan_.fixture.nests.front();
        int touched = -1;
        for (std::size_t key = 0; key < plan_.map.keys.size(); ++key) {
            const language::Key& place = plan_.map.keys[key];
            const bool over = at.x == nest.origin_x + place.x && at.y == nest.origin_y + place.y;
            if (over && at.z <= plan_.fixture.finger->surface_height)
                touched = static_cast<int>(key);
        }
        panel_.set_touched(touched);
    }

  private:
    test_support::PlainStation& station_;
    const language::Plan& plan_;
    LibmodbusPanel& panel_;
};

class FeltRelays final : public port::RelayBank {
  public:
    FeltRelays(port::RelayBank& inner, FeltFixture& felt) : inner_(inner), felt_(felt) {}
    Task<Outcome<void>> set(std::span<const port::CoilState> coils) override {
        Outcome<void> done = co_await inner_.set(coils);
        felt_.relays_moved();
        co_return done;
    }
    Task<Outcome<bool>> input(std::uint16_t number) override { return inner_.input(number); }
    Task<Outcome<void>> open_all() override {
        Outcome<void> done = co_await inner_.open_all();
        felt_.relays_moved();
        co_return done;
    }

  private:
    port::RelayBank& inner_;
    FeltFixture& felt_;
};

class FeltFinger final : public port::DummyFinger {
  public:
    FeltFinger(port::DummyFinger& inner, FeltFixture& felt) : inner_(inner), felt_(felt) {}
    Task<Outcome<void>> home() override { return inner_.home(); }
    Task<Outcome<void>> go(port::Position to) override {
        Outcome<void> done = co_await inner_.go(to);
        Outcome<port::Position> at = co_await inner_.position();
        if (at) felt_.finger_moved(*at);
        co_return done;
    }
    Task<Outcome<void>> lift() override {
        Outcome<void> done = co_await inner_.lift();
        Outcome<port::Position> at = co_await inner_.position();
        if (at) felt_.finger_moved(*at);
        co_return done;
    }
    Task<Outcome<port::Position>> position() override { return inner_.position(); }
    Task<Outcome<void>> begin(port::Position to, MillimetrePerSecond speed) override {
        return inner_.begin(to, speed);
    }
    Task<Outcome<port::Tracked>> track() override { return inner_.track(); }

  private:
    port::DummyFinger& inner_;
    FeltFixture& felt_;
};

PanelTruth truth_of(const language::RegisterMap& map) {
    PanelTruth truth;
    truth.serial = "LM-0001";
    for (std::uint16_t channel = 0; channel < map.channels; ++channel) {
        truth.gain.push_back(382.0 + 5.0 * channel);
        truth.offset.push_back(1900.0 + 30.0 * channel);
    }
    return truth;
}

class LibmodbusUnit : public testing::Test {
  protected:
    void SetUp() override {
        auto link = serial::TtyLink::open(time_.executor(), time_.clock(), bridge_.near(), {});
        ASSERT_TRUE(link) << link.error().what;
        client_ = std::make_unique<drivers::ModbusClient>(
            std::move(*link), time_.clock(), drivers::ClientSettings::of({}), drivers::Log{});
        const drivers::BusDevice device{
            "unit in nest 1", plan_->map.address, port::Blame::unit, {}};
        unit_ =
            std::make_unique<drivers::ModbusPanelUnit>(*client_, device, plan_->map, time_.clock());
        station_.fill_magazine(1);
    }
    engine::LotOutcome calibrate() {
        engine::Parts parts;
        parts.clock = &time_.clock();
        parts.wall_clock = &wall_clock_;
        parts.relays = &relays_;
        parts.interlock = &station_.interlock();
        parts.finger = &finger_;
        parts.environment = &station_.environment();
        parts.nests = {{1, unit_.get()}};
        parts.journal = &journal_;
        parts.log = [](engine::LogLevel, const std::string&) {};
        engine::LotOptions options;
        options.lot = "peers";
        options.station = "test";
        options.units = 1;
        engine::LotRun run(parts, plan_, options, [](const engine::Event&) {});
        return time_.run(run.run());
    }

    test::RealTime time_;
    serial::SystemWallClock wall_clock_;
    language::PlanPtr plan_ = test_support::demo_plan();
    PtyBridge bridge_;
    LibmodbusPanel panel_{plan_->map, truth_of(plan_->map), bridge_.far()};
    test_support::PlainStation station_{time_.clock(), plan_};
    FeltFixture felt_{station_, *plan_, panel_};
    FeltRelays relays_{station_.relays(), felt_};
    FeltFinger finger_{station_.finger(), felt_};
    support::MemoryJournal journal_;
    std::unique_ptr<drivers::ModbusClient> client_;
    std::unique_ptr<drivers::ModbusPanelUnit> unit_;
};

TEST_F(LibmodbusUnit, IsFoundAsItIsTrimmedToNominalAndReleasedByTheSameRecipe) {
    const engine::LotOutcome outcome = calibrate();
    ASSERT_EQ(journal_.runs.size(), 1U) << outcome.reason;
    ASSERT_TRUE(journal_.runs[0].unit) << outcome.reason;
    const record::UnitRecord& unit = *journal_.runs[0].unit;
    EXPECT_EQ(unit.result.verdict, record::Verdict::pass) << unit.result.reason;
    EXPECT_EQ(unit.result.disposition, record::Disposition::released);
    EXPECT_EQ(unit.observations.identity->serial, "LM-0001");
    EXPECT_EQ(outcome.count.pass, 1U);
    EXPECT_EQ(client_->counters().failed, 0U);

    const PanelTruth truth = truth_of(plan_->map);
    int at_first_frequency = 0;
    for (const record::ChannelLine& line : unit.result.lines) {
        if (line.frequency != 0) continue;
        ++at_first_frequency;
        const auto channel = static_cast<std::size_t>(line.channel);
        // The panel's noise is small beside the references' stated uncertainty.
        EXPECT_NEAR(line.gain, truth.gain[channel], line.gain_expanded);
        EXPECT_NEAR(line.offset, truth.offset[channel], line.offset_expanded);
        const double trim = std::ldexp(panel_.stored_gain()[channel],
                                       -static_cast<int>(plan_->map.gain_trim.fraction_bits));
        EXPECT_NEAR(trim * truth.gain[channel], plan_->map.nominal_gain.value(),
                    0.01 * plan_->map.nominal_gain.value());
    }
    EXPECT_EQ(at_first_frequency, plan_->map.channels);
}

}  // namespace
}  // namespace padtrim::peers
