#include "station/engine/workstand.hpp"

#include <algorithm>
#include <array>

#include <boost/asio/error.hpp>
#include <boost/system/system_error.hpp>

#include "station/engine/deadline.hpp"
#include "station/engine/finger_care.hpp"
#include "station/engine/wiring.hpp"

namespace padtrim::engine {

namespace {

using namespace std::chrono_literals;

// As relay_limit; a lift from the panel takes a second or two.
constexpr std::chrono::milliseconds lift_limit = 20s;
// A product filters and debounces before it reports: give it this long. Common practice, no source.
constexpr std::chrono::milliseconds report_pause = 10ms;

port::Reading for_port(record::Reading reading) {
    return reading == record::Reading::raw ? port::Reading::raw : port::Reading::corrected;
}

port::Fault stale_scan(const language::Nest& nest, std::uint32_t counter) {
    return {port::FaultKind::unexpected_reply, port::Blame::unit,
            "unit in nest " + std::to_string(nest.number),
            "The unit's scan counter stood still at " + std::to_string(counter) +
                ", so its counts are not new. Run the unit again; set it aside if it repeats."};
}

port::Fault fell_out(const language::Nest& nest) {
    return {port::FaultKind::unexpected_reply, port::Blame::unit,
            "unit in nest " + std::to_string(nest.number),
            "The unit in nest " + std::to_string(nest.number) +
                " left its test mode by itself: it restarted while it was measured, or another "
                "unit was put into the nest. Check its supply and its pins."};
}

}  // namespace

record::FaultNote note_of(const port::Fault& fault, const std::string& step) {
    const bool of_unit = fault.blame == port::Blame::unit;
    return {step, std::string(port::name_of(fault.kind)), fault.device, fault.what,
            of_unit ? record::Blame::unit : record::Blame::fixture};
}

Workstand::Workstand(const Parts& parts, const language::Plan& plan, const NestParts& nest,
                     port::Turns& finger, Progress progress, Asking asking, Waiting waiting)
    : parts_(parts),
      plan_(plan),
      nest_(*plan.fixture.nest(nest.number)),
      unit_(*nest.unit),
      finger_turns_(finger),
      progress_(std::move(progress)),
      asking_(std::move(asking)),
      waiting_(std::move(waiting)) {}

void Workstand::say(const std::string& key, std::uint32_t done, std::uint32_t of) const {
    if (progress_) progress_(key, done, of);
}

void Workstand::log(LogLevel level, const std::string& line) const {
    if (parts_.log) parts_.log(level, "nest " + std::to_string(nest_.number) + ": " + line);
}

void Workstand::begin() {
    seen = {};
    seen.nest = nest_.number;
    situation_ = {};
    situation_.pins_connected = situation_.test_mode = supplied_ = false;
    closed_.clear();
    last_counter_.reset();
    began_ = parts_.clock->now();
}

std::int64_t Workstand::now_us() const {
    const auto since = parts_.clock->now() - began_;
    return std::chrono::duration_cast<std::chrono::microseconds>(since).count();
}

Act<void> Workstand::set(std::vector<port::CoilState> coils) {
    if (coils.empty()) co_return port::Outcome<void>();
    co_return co_await parts_.relays->set(coils);
}

Act<void> Workstand::set_one(std::uint16_t coil, bool closed) {
    const std::array<port::CoilState, 1> one{port::CoilState{coil, closed}};
    co_return co_await parts_.relays->set(one);
}

Act<void> Workstand::power_on() {
    auto on = co_await set_one(nest_.supply_coil, true);
    if (!on) co_return on.error();
    supplied_ = true;
    last_counter_.reset();
    situation_.test_mode = false;
    co_await parts_.clock->sleep_for(plan_.map.boot_time);
    co_return port::Outcome<void>();
}

Act<void> Workstand::power_off() {
    auto open = co_await open_references();
    if (!open) co_return open.error();
    auto off_pins = co_await connect_pins(false);
    if (!off_pins) co_return off_pins.error();
    auto lasted = co_await test_mode_lasted();
    if (!lasted) co_return lasted.error();
    situation_.test_mode = supplied_ = false;
    auto off = co_await set_one(nest_.supply_coil, false);
    co_return off;
}

Act<void> Workstand::connect_pins(bool connected) {
    if (situation_.pins_connected == connected) co_return port::Outcome<void>();
    auto moved = co_await set_one(nest_.connect_coil, connected);
    if (moved) situation_.pins_connected = connected;
    co_return moved;
}

Act<void> Workstand::test_mode(bool on) {
    if (situation_.test_mode == on) co_return port::Outcome<void>();
    auto lasted = co_await test_mode_lasted();
    if (!lasted) co_return lasted.error();
    auto changed = co_await unit_.test_mode(on);
    if (changed) situation_.test_mode = on;
    co_return changed;
}

Act<void> Workstand::test_mode_lasted() {
    if (!situation_.test_mode) co_return port::Outcome<void>();
    auto lasted = co_await unit_.in_test_mode();
    if (!lasted) co_return lasted.error();
    if (!*lasted) co_return fell_out(nest_);
    co_return port::Outcome<void>();
}

Act<void> Workstand::relays_stand() {
    std::vector<port::CoilState> coils;
    for (const std::uint16_t coil : closed_) coils.push_back({coil, true});
    if (situation_.pins_connected) coils.push_back({nest_.connect_coil, true});
    if (supplied_) coils.push_back({nest_.supply_coil, true});
    auto held = co_await parts_.relays->holds(coils);
    co_return held;
}

Act<void> Workstand::still_stands() {
    auto held = co_await relays_stand();
    if (!held) co_return held.error();
    auto lasted = co_await test_mode_lasted();
    co_return lasted;
}

Act<void> Workstand::open_references() {
    return switch_in({}, {});
}

Act<void> Workstand::switch_in(std::string reference, std::vector<std::uint16_t> channels) {
    std::vector<std::uint16_t> wanted;
    if (!reference.empty())
        wanted = coils_of(plan_.fixture.equipment, nest_.number, reference, channels);
    std::vector<port::CoilState> changes;
    for (const std::uint16_t coil : closed_)
        if (std::find(wanted.begin(), wanted.end(), coil) == wanted.end())
            changes.push_back({coil, false});
    for (const std::uint16_t coil : wanted)
        if (std::find(closed_.begin(), closed_.end(), coil) == closed_.end())
            changes.push_back({coil, true});
    auto switched = co_await set(std::move(changes));
    if (!switched) co_return switched.error();
    closed_ = std::move(wanted);
    situation_.reference = std::move(reference);
    situation_.channels = std::move(channels);
    co_return switched;
}

Act<void> Workstand::ready_to_measure() {
    auto open = co_await open_references();
    if (!open) co_return open.error();
    auto pins = co_await connect_pins(true);
    if (!pins) co_return pins.error();
    auto frozen = co_await test_mode(true);
    co_return frozen;
}

Act<void> Workstand::take(std::string step, unsigned scans, record::Reading reading) {
    record::Readings taken;
    taken.step = std::move(step);
    taken.situation = situation_;
    taken.situation.reading = reading;
    auto read = co_await read_into(taken, scans);
    if (!read) co_return read.error();
    seen.readings.push_back(std::move(taken));
    co_return port::Outcome<void>();
}

Act<void> Workstand::take_more(unsigned scans) {
    auto read = co_await read_into(seen.readings.back(), scans);
    co_return read;
}

Act<void> Workstand::read_into(record::Readings& taken, unsigned scans) {
    for (unsigned i = 0; i < scans; ++i) {
        auto scan = co_await unit_.scan(for_port(taken.situation.reading));
        if (!scan) co_return scan.error();
        if (last_counter_ == scan->counter) co_return stale_scan(nest_, scan->counter);
        last_counter_ = scan->counter;
        taken.scans.push_back({scan->counter, now_us(), std::move(scan->counts)});
    }
    co_return port::Outcome<void>();
}

Act<void> Workstand::note_climate() {
    if (parts_.environment == nullptr) co_return port::Outcome<void>();
    auto climate = co_await parts_.environment->read();
    if (!climate) co_return climate.error();
    seen.climate.push_back({now_us(), climate->temperature, climate->humidity});
    co_return port::Outcome<void>();
}

Act<void> Workstand::note_trims(record::TrimMoment moment) {
    auto trims = co_await unit_.trims();
    if (!trims) co_return trims.error();
    seen.trims.push_back({moment, std::move(trims->gain), std::move(trims->offset)});
    co_return port::Outcome<void>();
}

Act<void> Workstand::note_touched(std::string step, std::vector<bool> expected) {
    const port::Instant last = parts_.clock->now() + report_time;
    record::TouchReport report;
    report.step = std::move(step);
    report.finger = situation_.finger;
    while (true) {
        auto touched = co_await unit_.touched();
        if (!touched) co_return touched.error();
        report.reported = std::move(*touched);
        if (report.reported == expected || parts_.clock->now() >= last) break;
        co_await parts_.clock->sleep_for(report_pause);
    }
    report.at_us = now_us();
    seen.touch_reports.push_back(std::move(report));
    co_return port::Outcome<void>();
}

Act<void> Workstand::note_report(std::string step) {
    auto touched = co_await unit_.touched();
    if (!touched) co_return touched.error();
    record::TouchReport report;
    report.step = std::move(step);
    report.finger = situation_.finger;
    report.at_us = now_us();
    report.reported = std::move(*touched);
    seen.touch_reports.push_back(std::move(report));
    co_return port::Outcome<void>();
}

Act<void> Workstand::take_finger() {
    if (parts_.finger == nullptr || !plan_.fixture.finger)
        co_return port::Fault{port::FaultKind::port_missing, port::Blame::fixture, "dummy finger",
                              "The recipe touches keys, but the fixture has no dummy finger. Use a "
                              "fixture profile with one."};
    if (!finger_turn_.held()) {
        if (finger_turns_.taken() && waiting_) waiting_("the finger");
        finger_turn_ = co_await finger_turns_.take();
    }
    if (!finger_turn_.held())
        throw boost::system::system_error(boost::asio::error::operation_aborted);
    co_return port::Outcome<void>();
}

Act<void> Workstand::finger_to(const language::Key& key, bool touching) {
    const port::Position place = over(*plan_.fixture.finger, nest_, key, touching);
    auto there = co_await parts_.finger->go(place);
    if (!there) co_return there.error();
    situation_.finger = record::FingerPose{key.name, place.x, place.y, place.z, touching};
    co_return there;
}

Act<void> Workstand::finger_away() {
    auto lifted = co_await parts_.finger->lift();
    if (!lifted) co_return lifted.error();
    auto bare = co_await take_off();
    if (!bare) co_return bare.error();
    situation_.finger.reset();
    finger_turn_.give_back();
    co_return lifted;
}

// A finger that does not know its place is not moved: lift() says so.
Act<void> Workstand::lift_unless_open() {
    auto allowed = co_await permitted();
    if (allowed) {
        auto lifted = co_await parts_.finger->lift();
        co_return lifted;
    }
    // No motion is commanded until a person begins anew.
    auto at = co_await parts_.finger->position();
    if (at && stands_up(*at, *plan_.fixture.finger)) co_return port::Outcome<void>();
    co_return allowed.error();
}

Act<void> Workstand::home_if_lost() {
    if (parts_.finger == nullptr) co_return port::Outcome<void>();
    const bool had_turn = finger_turn_.held();
    auto turn = co_await take_finger();
    if (!turn) co_return turn.error();
    auto ready = co_await engine::home_if_lost(*parts_.finger);
    if (!had_turn) finger_turn_.give_back();
    co_return ready;
}

Act<void> Workstand::permitted() {
    if (parts_.interlock == nullptr) co_return port::Outcome<void>();
    auto closed = co_await parts_.interlock->closed();
    co_return closed;
}

Act<void> Workstand::insist(SafeAct act, std::chrono::milliseconds limit, std::string what,
                            std::string left) {
    what += " in nest " + std::to_string(nest_.number);
    auto done = co_await within(*parts_.clock, limit, (this->*act)(), what);
    const bool a_person_must = !done && (done.error().kind == port::FaultKind::interlock_open ||
                                         done.error().kind == port::FaultKind::position_lost);
    if (!done && !a_person_must) {
        log(LogLevel::warning, done.error().what + " Trying once more.");
        done = co_await within(*parts_.clock, limit, (this->*act)(), what);
    }
    if (done) co_return done;
    port::Fault fault = done.error();
    fault.what += left;
    log(LogLevel::error, fault.what);
    co_return fault;
}

Act<void> Workstand::release_all() {
    return set(released(plan_.fixture, nest_));
}
Act<void> Workstand::supply_off() {
    return set_one(nest_.supply_coil, false);
}

Act<void> Workstand::make_safe() {
    const std::string nest = std::to_string(nest_.number);
    auto open = co_await insist(&Workstand::release_all, relay_limit, "Opening the references",
                                " The pins of nest " + nest + " may still be on.");
    if (finger_turn_.held()) {
        auto up = co_await insist(&Workstand::lift_unless_open, lift_limit, "Lifting the finger",
                                  " The finger may still stand low over nest " + nest + ".");
        if (open && !up) open = up;
        // Not under a finger that may be low.
        if (up) {
            auto bare =
                co_await insist(&Workstand::take_off, relay_limit, "Swinging the target off",
                                " A target may still be in front of the finger.");
            if (open && !bare) open = bare;
        }
        finger_turn_.give_back();
    }
    auto off = co_await insist(&Workstand::supply_off, relay_limit, "Switching off the supply",
                               " The unit in nest " + nest +
                                   " may still be live: switch its supply off by hand before "
                                   "anybody touches it.");
    closed_.clear();
    situation_ = {};
    supplied_ = false;
    co_return open ? off : open;
}

}  // namespace padtrim::engine
