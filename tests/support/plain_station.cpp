#include "tests/support/plain_station.hpp"

#include <chrono>
#include <cmath>

#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>

namespace padtrim::test_support {

using namespace std::chrono_literals;
using port::Outcome;
using port::Task;

namespace {

// Deterministic noise of unit variance: a sum of uniform numbers from a hash of what names it.
double noise_of(std::uint64_t name) {
    double sum = 0.0;
    for (int i = 0; i < 12; ++i) {
        name += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = name;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
        sum += static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1.0p-53;
    }
    return sum - 6.0;
}

}  // namespace

class PlainStation::Relays : public port::RelayBank {
  public:
    explicit Relays(PlainStation& s) : s_(s) {}
    Task<Outcome<void>> set(std::span<const port::CoilState> coils) override {
        const std::vector<port::CoilState> wanted(coils.begin(), coils.end());
        auto fault = co_await s_.begin("relays.set", port::Blame::fixture);
        if (fault) co_return *fault;
        co_await s_.clock_.sleep_for(5ms);
        for (const bool closing : {false, true})
            for (const port::CoilState& c : wanted)
                if (c.closed == closing) s_.switched(c.coil, c.closed);
        co_return Outcome<void>();
    }
    Task<Outcome<bool>> input(std::uint16_t number) override {
        auto fault = co_await s_.begin("relays.input", port::Blame::fixture);
        if (fault) co_return *fault;
        co_await s_.clock_.sleep_for(1ms);
        for (const language::Nest& nest : s_.plan_->fixture.nests)
            if (nest.present_input == number) co_return s_.in_nest(nest.number) != nullptr;
        co_return true;
    }
    Task<Outcome<void>> open_all() override {
        auto fault = co_await s_.begin("relays.open_all", port::Blame::fixture);
        if (fault) co_return *fault;
        co_await s_.clock_.sleep_for(5ms);
        for (std::uint16_t coil = 0; coil < s_.coils_.size(); ++coil) s_.switched(coil, false);
        co_return Outcome<void>();
    }

  private:
    PlainStation& s_;
};

class PlainStation::Guard : public port::Interlock {
  public:
    explicit Guard(PlainStation& s) : s_(s) {}
    Task<Outcome<void>> closed() override {
        auto fault = co_await s_.begin("interlock.closed", port::Blame::fixture);
        if (fault) co_return *fault;
        co_await s_.clock_.sleep_for(1ms);
        if (s_.guard_open) co_return open();
        co_return Outcome<void>();
    }
    static port::Fault open() {
        return {port::FaultKind::interlock_open, port::Blame::fixture, "guard door",
                "The guard is open. Close it and start again."};
    }

  private:
    PlainStation& s_;
};

class PlainStation::Finger : public port::DummyFinger {
  public:
    explicit Finger(PlainStation& s) : s_(s) {}
    Task<Outcome<void>> home() override { return move_to(0, s_.at_, "finger.home"); }
    Task<Outcome<void>> go(port::Position to) override {
        std::uint16_t nest = 0;
        for (const language::Nest& n : s_.plan_->fixture.nests)
            if (to.x >= n.origin_x && to.x <= n.origin_x + s_.plan_->map.panel_width)
                nest = n.number;
        return move_to(nest, to, "finger.go");
    }
    Task<Outcome<void>> lift() override {
        port::Position up = s_.at_;
        up.z = s_.plan_->fixture.finger->safe_height;
        return move_to(0, up, "finger.lift");
    }
    Task<Outcome<port::Position>> position() override { co_return s_.at_; }
    // Slow ways take no longer here than others.
    Task<Outcome<void>> begin(port::Position to, MillimetrePerSecond) override { return go(to); }
    Task<Outcome<port::Tracked>> track() override {
        auto fault = co_await s_.begin("finger.track", port::Blame::fixture);
        if (fault) co_return *fault;
        if (s_.guard_open) co_return Guard::open();
        co_return port::Tracked{s_.at_, true};
    }

  private:
    Task<Outcome<void>> move_to(std::uint16_t nest, port::Position to, std::string call) {
        auto fault = co_await s_.begin(call, port::Blame::fixture);
        if (fault) co_return *fault;
        if (s_.guard_open) co_return Guard::open();
        s_.moves.push_back({nest, to});
        co_await s_.clock_.sleep_for(150ms);
        s_.at_ = to;
        co_return Outcome<void>();
    }
    PlainStation& s_;
};

class PlainStation::Air : public port::Environment {
  public:
    explicit Air(PlainStation& s) : s_(s) {}
    Task<Outcome<port::Climate>> read() override {
        auto fault = co_await s_.begin("environment.read", port::Blame::fixture);
        if (fault) co_return *fault;
        co_await s_.clock_.sleep_for(2ms);
        co_return port::Climate{Celsius(23.0), RelativeHumidity(45.0)};
    }

  private:
    PlainStation& s_;
};

class PlainStation::Panel : public port::PanelUnit {
  public:
    Panel(PlainStation& s, std::uint16_t nest) : s_(s), nest_(nest) {}
    Task<Outcome<port::Identity>> identify() override {
        auto unit = co_await talk("unit.identify", 2ms);
        if (!unit) co_return unit.error();
        co_return port::Identity{(*unit)->product_code, "1.0", (*unit)->serial};
    }
    Task<Outcome<void>> test_mode(bool on) override {
        auto unit = co_await talk("unit.test_mode", 3ms);
        if (!unit) co_return unit.error();
        s_.test_mode_[nest_] = on;
        co_return Outcome<void>();
    }
    Task<Outcome<port::Scan>> scan(port::Reading reading) override {
        auto unit = co_await talk("unit.scan", 4ms);
        if (!unit) co_return unit.error();
        co_return read(**unit, reading);
    }
    Task<Outcome<std::vector<bool>>> touched() override {
        auto unit = co_await talk("unit.touched", 2ms);
        if (!unit) co_return unit.error();
        std::vector<bool> flags(s_.plan_->map.keys.size(), false);
        const int key = s_.touched_key(nest_);
        if (key >= 0 && !s_.test_mode_[nest_]) flags[static_cast<std::size_t>(key)] = true;
        co_return flags;
    }
    Task<Outcome<port::TrimRegisters>> trims() override {
        auto unit = co_await talk("unit.trims", 3ms);
        if (!unit) co_return unit.error();
        co_return (*unit)->working;
    }
    Task<Outcome<void>> write_trims(const port::TrimRegisters& trims) override {
        const port::TrimRegisters wanted = trims;
        if (auto here = s_.in_nest(nest_)) ++here->writes_begun;
        auto unit = co_await talk("unit.write_trims", 6ms);
        if (!unit) co_return unit.error();
        if ((*unit)->holds_writes) (*unit)->working = wanted;
        co_return Outcome<void>();
    }
    Task<Outcome<void>> commit() override {
        auto unit = co_await talk("unit.commit", 15ms);
        if (!unit) co_return unit.error();
        ++(*unit)->commits;
        if ((*unit)->commit_reaches_memory) (*unit)->in_memory = (*unit)->working;
        co_return Outcome<void>();
    }
    Task<Outcome<void>> restart() override {
        auto unit = co_await talk("unit.restart", 60ms);
        if (!unit) co_return unit.error();
        (*unit)->working = (*unit)->in_memory;
        co_return Outcome<void>();
    }

  private:
    using Reached = std::shared_ptr<PlainUnit>;
    // A cancelled transaction answers with the fault `cancelled`, as a driver may.
    Task<Outcome<Reached>> talk(std::string call, std::chrono::milliseconds time) {
        auto fault = co_await s_.begin(call, port::Blame::unit);
        if (fault) co_return *fault;
        try {
            co_await s_.clock_.sleep_for(time);
        } catch (const boost::system::system_error&) {
            co_return fault_of(port::FaultKind::cancelled, "An abort reached the transaction.");
        }
        Reached unit = s_.in_nest(nest_);
        if (!unit || !s_.powered(nest_) || s_.silent_nest == nest_)
            co_return fault_of(port::FaultKind::no_answer, "The unit does not answer.");
        co_return unit;
    }
    [[nodiscard]] port::Fault fault_of(port::FaultKind kind, std::string what) const {
        return {kind, port::Blame::unit, "unit in nest " + std::to_string(nest_), std::move(what)};
    }
    [[nodiscard]] port::Scan read(PlainUnit& unit, port::Reading reading) const {
        port::Scan scan;
        scan.counter = ++unit.counter;
        const language::RegisterMap& map = s_.plan_->map;
        const int key = s_.touched_key(nest_);
        for (std::uint16_t channel = 0; channel < map.channels; ++channel) {
            double raw = unit.offset + unit.gain * s_.load_on(nest_, channel);
            if (key >= 0 && map.keys[static_cast<std::size_t>(key)].channels.front() == channel)
                raw += unit.touch;
            for (std::size_t f = 0; f < map.frequencies.size(); ++f) {
                const auto name = (std::uint64_t{unit.counter} << 16) + 16U * channel + f;
                scan.counts.push_back(shown(unit, channel, raw + unit.noise * noise_of(name),
                                            reading == port::Reading::corrected));
            }
        }
        return scan;
    }
    [[nodiscard]] std::int32_t shown(const PlainUnit& unit, std::uint16_t channel, double raw,
                                     bool corrected) const {
        const language::RegisterMap& map = s_.plan_->map;
        if (corrected) {
            const auto scaled = [](std::int32_t value, unsigned bits) {
                return std::ldexp(value, -static_cast<int>(bits));
            };
            const double offset =
                scaled(unit.working.offset[channel], map.offset_trim.fraction_bits);
            const double gain = scaled(unit.working.gain[channel], map.gain_trim.fraction_bits);
            raw = (raw - offset) * gain + map.nominal_offset.value();
        }
        return static_cast<std::int32_t>(std::lround(raw));
    }

    PlainStation& s_;
    std::uint16_t nest_;
};

PlainStation::PlainStation(port::Clock& clock, language::PlanPtr plan)
    : clock_(clock),
      plan_(std::move(plan)),
      coils_(plan_->fixture.relays.coils, false),
      relays_(std::make_unique<Relays>(*this)),
      guard_(std::make_unique<Guard>(*this)),
      finger_(std::make_unique<Finger>(*this)),
      air_(std::make_unique<Air>(*this)) {
    if (plan_->fixture.finger) at_.z = plan_->fixture.finger->safe_height;
    for (const language::Nest& nest : plan_->fixture.nests)
        panels_[nest.number] = std::make_unique<Panel>(*this, nest.number);
}

PlainStation::~PlainStation() = default;

std::shared_ptr<PlainUnit> PlainStation::good_unit(const std::string& serial) const {
    auto unit = std::make_shared<PlainUnit>();
    unit->serial = serial;
    unit->product_code = plan_->map.product_code_value;
    unit->gain = 405.0;
    unit->offset = 1985.0;
    const auto one = std::int32_t{1} << plan_->map.gain_trim.fraction_bits;
    unit->working.gain.assign(plan_->map.channels, one);
    unit->working.offset.assign(plan_->map.channels, 0);
    unit->in_memory = unit->working;
    return unit;
}

void PlainStation::fill_magazine(unsigned units) {
    for (unsigned i = 0; i < units; ++i) {
        auto unit = good_unit("U" + std::to_string(all.size() + 1));
        all[unit->serial] = unit;
        magazine.push_back(unit);
    }
}

PlainUnit& PlainStation::unit(const std::string& serial) {
    return *all.at(serial);
}

void PlainStation::put_into(std::uint16_t nest, std::shared_ptr<PlainUnit> unit) {
    if (unit) all[unit->serial] = unit;
    nests_[nest] = std::move(unit);
}

std::shared_ptr<PlainUnit> PlainStation::in_nest(std::uint16_t nest) const {
    const auto found = nests_.find(nest);
    return found == nests_.end() ? nullptr : found->second;
}

port::RelayBank& PlainStation::relays() {
    return *relays_;
}
port::Interlock& PlainStation::interlock() {
    return *guard_;
}
port::DummyFinger& PlainStation::finger() {
    return *finger_;
}
port::Environment& PlainStation::environment() {
    return *air_;
}
port::PanelUnit& PlainStation::panel(std::uint16_t nest) {
    return *panels_.at(nest);
}

Task<std::optional<port::Fault>> PlainStation::begin(std::string call, port::Blame blame) {
    ++calls;
    if (each_call) each_call(call);
    if (stop_at != 0 && calls >= stop_at) {
        boost::asio::steady_timer never(co_await boost::asio::this_coro::executor,
                                        boost::asio::steady_timer::time_point::max());
        co_await never.async_wait(boost::asio::use_awaitable);
    }
    const bool fails = fail_at != 0 && (calls == fail_at || (fail_for_good && calls > fail_at));
    if (!fails) co_return std::nullopt;
    co_return port::Fault{failure.kind, failure.blame.value_or(blame), call,
                          "The call " + call + " was made to fail."};
}

bool PlainStation::powered(std::uint16_t nest) const {
    return coils_[plan_->fixture.nest(nest)->supply_coil];
}

double PlainStation::load_on(std::uint16_t nest, std::uint16_t channel) const {
    const language::Nest& wiring = *plan_->fixture.nest(nest);
    if (!coils_[wiring.connect_coil]) return 0.0;
    double load = 0.0;
    if (const auto* part = plan_->fixture.equipment.fixture_part(nest, channel))
        load += part->value.value();
    for (const language::CharacterisedStep& step : plan_->fixture.equipment.steps)
        if (step.nest == nest && step.channel == channel && coils_[step.coil])
            load += step.value.value();
    return load;
}

int PlainStation::touched_key(std::uint16_t nest) const {
    if (!plan_->fixture.finger || at_.z > plan_->fixture.finger->surface_height) return -1;
    const language::Nest& place = *plan_->fixture.nest(nest);
    for (std::size_t i = 0; i < plan_->map.keys.size(); ++i) {
        const language::Key& key = plan_->map.keys[i];
        if (at_.x == place.origin_x + key.x && at_.y == place.origin_y + key.y)
            return static_cast<int>(i);
    }
    return -1;
}

void PlainStation::switched(std::uint16_t coil, bool closed) {
    const bool was = coils_[coil];
    coils_[coil] = closed;
    for (const language::Nest& nest : plan_->fixture.nests) {
        auto& unit = nests_[nest.number];
        if (nest.supply_coil == coil && was != closed && unit) {
            test_mode_[nest.number] = false;
            unit->working = unit->in_memory;
            unit->boots += closed ? 1 : 0;
        }
        if (nest.advance_coil != coil || was || !closed) continue;
        if (unit) unloaded.push_back(unit);
        unit.reset();
        if (magazine.empty()) continue;
        unit = magazine.front();
        magazine.pop_front();
    }
}

bool PlainStation::safe() const {
    for (const bool closed : coils_)
        if (closed) return false;
    return !plan_->fixture.finger || at_.z >= plan_->fixture.finger->safe_height;
}

}  // namespace padtrim::test_support
