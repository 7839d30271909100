#include "station/engine/duration.hpp"

#include <cmath>
#include <cstdint>
#include <variant>

#include "recipes/language/exchange_time.hpp"
#include "recipes/language/key_track.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

namespace {

Span transaction(const language::LineSettings& line, double data_bytes) {
    return Span(transaction_time(line, data_bytes).value());
}

const language::LineSettings& unit_line(const language::Plan& plan) {
    return plan.fixture.nests.front().port.line;
}

Duration spent(Work work, Span floor, Span expected) {
    Duration time{floor, expected, {}};
    time.spent[static_cast<std::size_t>(work)] = expected;
    return time;
}
Duration talk(Span time) {
    return spent(Work::talk, Span(0.0), time);
}
Duration physics(Span time, Work work = Work::waiting) {
    return spent(work, time, time);
}

// Three exchanges of lines: the change and its completion, the error queue, the contacts' state.
// Over a network they take next to no time.
Span scpi_change(const language::PortName& port) {
    constexpr double characters = 110.0;
    if (port.tcp) return Span(0.0);
    return Span(characters_time(port.line, characters).value());
}

// Switched and read back.
Duration switching(const language::Plan& plan) {
    Duration time = physics(plan.fixture.relays.settle, Work::settling);
    if (plan.fixture.relays.scpi) return time += talk(scpi_change(plan.fixture.relays.port));
    time += talk(2.0 * transaction(plan.fixture.relays.port.line, 2.0));
    return time;
}

Duration state(const language::Plan& plan, unsigned scans) {
    Duration time = switching(plan);
    time += scans * scan_duration(plan);
    return time;
}

Span asking(const language::Plan& plan, const language::Register& where) {
    return Span(asking_time(plan.map, unit_line(plan), where).value());
}

Span telling(const language::Plan& plan, const language::Command& command) {
    return Span(telling_time(plan.map, unit_line(plan), command).value());
}

Duration trims_read(const language::Plan& plan) {
    return talk(asking(plan, plan.map.gain_trim.where) + asking(plan, plan.map.offset_trim.where));
}

Span way(Millimetre distance, MillimetrePerSecond speed) {
    return Span(1000.0 * distance.value() / speed.value());
}

// Up and down over one place: touch and lift.
Duration descent(const language::Finger& finger) {
    const Millimetre height = finger.safe_height - finger.surface_height;
    const Millimetre slow = std::min(height, finger.touch_zone);
    const Span zone = slow.value() > 0.0 ? way(slow, finger.touch_speed) : Span(0.0);
    return physics(way(height - slow, finger.approach_speed) + zone +
                       way(height, finger.travel_speed) + 2.0 * Span(finger.settle),
                   Work::finger);
}

// One place of the finger: a short way, a settle, and a look at the report.
Duration look(const language::Plan& plan, Millimetre distance) {
    const language::Finger& finger = *plan.fixture.finger;
    Duration time =
        physics(way(distance, finger.approach_speed) + Span(finger.settle), Work::finger);
    time += talk(3.0 * transaction(unit_line(plan), 2.0));
    return time;
}

// Halvings from `from` to `interval`, each with a look from afar and one at the height.
Duration halvings(const language::Plan& plan, Millimetre from, Millimetre interval,
                  std::chrono::milliseconds hold) {
    constexpr Span rest{400.0};
    const double looks = 2.0 * std::ceil(std::log2(from.value() / interval.value())) + 1.0;
    const language::Finger& finger = *plan.fixture.finger;
    const Millimetre far = std::max(from, finger.safe_height - finger.surface_height);
    Duration one = look(plan, 0.75 * far);
    one += look(plan, 0.25 * far);
    one += physics(rest + 0.5 * Span(hold));
    return looks * one;
}

Duration touching(const language::Plan& plan, const std::vector<std::string>& names,
                  unsigned scans) {
    if (!plan.fixture.finger) return {};
    const language::Finger& finger = *plan.fixture.finger;
    Duration time = switching(plan);
    const language::Key* before = nullptr;
    for (const language::Key* key : chosen_keys(plan.map, names)) {
        if (before != nullptr) {
            const double dx = (key->x - before->x).value(), dy = (key->y - before->y).value();
            time += physics(way(Millimetre(std::hypot(dx, dy)), finger.travel_speed), Work::finger);
        }
        time += descent(finger);
        time += 2.0 * scans * scan_duration(plan);
        time += talk(6.0 * transaction(unit_line(plan), 2.0));  // test mode and reports
        before = key;
    }
    return time;
}

double switched_groups(const language::Plan& plan) {
    return plan.fixture.relays.switching == language::Switching::all_channels
               ? 1.0
               : static_cast<double>(plan.map.channels);
}

Duration bracketed(const language::Plan& plan, std::size_t references, unsigned scans) {
    const double states = switched_groups(plan) * static_cast<double>(references);
    return (2.0 * states + 1.0) * state(plan, scans);
}

Duration start_of(const language::Plan& plan) {
    Duration time = physics(plan.map.boot_time, Work::power);
    time += switching(plan);
    time += talk(3.0 * transaction(unit_line(plan), 8.0));
    return time;
}

struct OfStep {
    const language::Plan& plan;
    Duration operator()(const language::IdentifyStep&) const { return {}; }
    Duration operator()(const language::ContactStep& step) const {
        return (plan.map.channels + 2.0) * state(plan, step.scans);
    }
    Duration operator()(const language::GainOffsetStep& step) const {
        return bracketed(plan, step.references.size(), step.scans);
    }
    Duration operator()(const language::NoiseStep& step) const { return state(plan, step.scans); }
    Duration operator()(const language::TouchStep& step) const {
        return touching(plan, step.keys, step.scans);
    }
    Duration operator()(const language::WriteTrimsStep&) const {
        Duration time = physics(plan.map.commit_time, Work::power);
        time += 3.0 * trims_read(plan);
        return time;
    }
    Duration operator()(const language::PowerCycleStep& step) const {
        Duration time = physics(step.off_time, Work::power);
        time += start_of(plan);
        time += trims_read(plan);
        return time;
    }
    Duration operator()(const language::VerifyStep& step) const {
        Duration time = bracketed(plan, 1, step.scans);
        if (step.finger) time += touching(plan, {}, 0);
        return time;
    }
    Duration operator()(const language::WaitStep& step) const { return physics(step.time); }
    // A person's time is nobody's to foretell.
    Duration operator()(const language::AskStep&) const { return {}; }
    // Two looks at least; a unit that drifts takes more.
    Duration operator()(const language::WarmUpStep& step) const {
        Duration time = physics(step.interval);
        time += state(plan, step.scans);
        return time;
    }
    Duration operator()(const language::LinkStep& step) const {
        const double bytes =
            data_bytes_of(plan.map.serial) + data_bytes_of(plan.map.firmware) + 2.0;
        return step.requests * talk(transaction(unit_line(plan), bytes));
    }
    Duration operator()(const language::CrosstalkStep& step) const {
        return touching(plan, step.keys, step.scans);
    }
    Duration operator()(const language::FrequencyStep& step) const {
        return bracketed(plan, 1, step.scans);
    }
    Duration operator()(const language::NonLinearityStep& step) const {
        return bracketed(plan, step.references.size(), step.scans);
    }
    Duration operator()(const language::ApproachStep& step) const {
        if (!plan.fixture.finger) return {};
        Duration key = descent(*plan.fixture.finger);
        Duration height = look(plan, step.interval);
        height += step.scans * scan_duration(plan);
        key += (std::ceil(step.from.value() / step.interval.value()) + 1.0) * height;
        key += halvings(plan, step.from, step.interval, step.hold);
        return keys(step.keys) * key;
    }
    Duration operator()(const language::ProximityStep& step) const {
        if (!plan.fixture.finger) return {};
        Duration key = descent(*plan.fixture.finger);
        key += 2.0 * step.scans * scan_duration(plan);
        key += halvings(plan, step.from, step.interval, step.hold);
        const auto chosen = chosen_keys(plan.map, step.keys, language::KeyKind::proximity).size();
        return static_cast<double>(chosen) * key;
    }
    Duration operator()(const language::ResponseStep& step) const {
        return keys(step.keys) * (step.repeats * fall(step.from, step.speed));
    }
    Duration operator()(const language::SlowApproachStep& step) const {
        return keys(step.keys) * fall(step.from, step.speed);
    }
    Duration operator()(const language::SweepStep& step) const {
        if (!plan.fixture.finger) return {};
        const auto chosen = chosen_keys(plan.map, step.keys, language::has_position).size();
        Duration point = descent(*plan.fixture.finger);
        point += look(plan, Millimetre(0.0));
        return static_cast<double>(chosen) * (step.points * point);
    }
    Duration operator()(const language::HoverStep& step) const {
        if (!plan.fixture.finger) return {};
        return 2.0 * physics(way(plan.map.panel_width, step.speed), Work::finger);
    }
    Duration operator()(const language::WetPanelStep& step) const {
        if (step.placed_by == language::PlacedBy::person) return physics(step.watch);
        if (!plan.fixture.finger) return {};
        Duration key = descent(*plan.fixture.finger);
        key += physics(step.watch);
        return keys(step.keys) * key;
    }
    [[nodiscard]] double keys(const std::vector<std::string>& names) const {
        return static_cast<double>(chosen_keys(plan.map, names).size());
    }
    [[nodiscard]] Duration fall(Millimetre from, MillimetrePerSecond speed) const {
        if (!plan.fixture.finger) return {};
        Duration time = descent(*plan.fixture.finger);
        time += physics(way(from, speed), Work::finger);
        time += physics(Span(400.0));
        return time;
    }
    Duration operator()(const language::StuckKeyStep& step) const {
        Duration time = physics(step.watch);
        if (step.finger) time += touching(plan, step.keys, 0);
        return time;
    }
};

}  // namespace

std::string_view name_of(Work work) {
    static constexpr std::string_view names[] = {"scanning", "settling", "finger",
                                                 "power",    "waiting",  "talk"};
    return names[static_cast<std::size_t>(work)];
}

Duration scan_duration(const language::Plan& plan) {
    const language::RegisterMap& map = plan.map;
    Duration time = physics(map.scan_time, Work::scanning);
    // Lines read the counter before and after the counts.
    const double counters = map.lines ? 2.0 : 1.0;
    time += talk(telling(plan, map.scan_trigger) + asking(plan, map.scan_done) +
                 counters * asking(plan, map.scan_counter) + asking(plan, map.raw_counts));
    return time;
}

Duration UnitDuration::whole() const {
    Duration sum = start;
    for (const StepDuration& step : steps) sum += step.time;
    return sum;
}

std::chrono::milliseconds UnitDuration::left(std::size_t step, std::uint32_t done,
                                             std::uint32_t of) const {
    Span sum{0.0};
    for (std::size_t i = step; i < steps.size(); ++i) sum += steps[i].time.expected;
    if (step < steps.size() && of > 0) sum -= steps[step].time.expected * (double(done) / of);
    return std::chrono::ceil<std::chrono::milliseconds>(sum);
}

UnitDuration estimate(const language::Plan& plan) {
    UnitDuration unit;
    unit.start = start_of(plan);
    for (const language::Step& step : plan.recipe.steps)
        unit.steps.push_back({step.name, std::visit(OfStep{plan}, step.body)});
    return unit;
}

}  // namespace padtrim::engine
