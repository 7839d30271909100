#include "station/engine/hand_run.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <utility>

#include "station/engine/deadline.hpp"
#include "station/engine/finger_care.hpp"
#include "station/engine/open_relays.hpp"
#include "station/engine/right_fixture.hpp"
#include "station/engine/wiring.hpp"
#include "station/engine/workstand.hpp"

namespace padtrim::engine {

using port::Fault;
using port::FaultKind;
using port::Outcome;
using port::Position;
using port::Task;

namespace {

// Looked at this often while an act ends that a withdrawn permit has stopped.
constexpr std::chrono::milliseconds end_pause{20};

Fault not_done(std::string what) {
    return {FaultKind::refused, port::Blame::fixture, "fixture", std::move(what)};
}

// Nothing happened, and what stood before still stands.
bool changes_nothing(const Fault& fault) {
    return fault.kind == FaultKind::refused || fault.kind == FaultKind::out_of_travel;
}

std::string words_of(const Connection& one) {
    return one.reference + " on nest " + std::to_string(one.nest) + ", channel " +
           std::to_string(one.channel);
}

std::string words_of(const Position& at) {
    std::array<char, 96> line{};
    std::snprintf(line.data(), line.size(), "The finger stands at X %.2f, Y %.2f, Z %.2f mm.",
                  at.x.value(), at.y.value(), at.z.value());
    return line.data();
}

}  // namespace

std::string_view name_of(HandState state) {
    switch (state) {
        case HandState::fresh:
            return "beginning";
        case HandState::held:
            return "held";
        case HandState::busy:
            return "busy";
        case HandState::ending:
            return "ending";
        case HandState::over:
            return "over";
    }
    return "";
}

HandRun::HandRun(const Parts& parts, const language::Plan& plan, MotionPermit& permit,
                 std::function<void()> changed)
    : parts_(parts),
      plan_(plan),
      permit_(permit),
      changed_(std::move(changed)),
      contacts_(*parts.relays) {
    parts_.relays = &contacts_;
}

Task<void> HandRun::run() {
    auto still = co_await begin();
    if (still) {
        standing_.state = HandState::held;
        standing_.sentence = "Every relay is open. Nothing has moved.";
        changed_();
    }
    while (still) {
        co_await parts_.clock->sleep_for(
            std::min<std::chrono::nanoseconds>(permit_.left(), look_pause));
        still = co_await look();
    }
    end_by(still.error().what);
    Outcome<void> open;
    if (right_) open = co_await open_relays();
    while (!standing_.doing.empty()) {
        const bool relays = under_way_ == Of::relays;
        co_await parts_.clock->sleep_for(end_pause);
        // What was being closed may have closed after they were opened.
        if (relays && standing_.doing.empty()) open = co_await open_relays();
    }
    if (!open)
        standing_.sentence += " " + open.error().what +
                              " A reference may still be connected: take the fixture's power away.";
    standing_.state = HandState::over;
    changed_();
}

// The wiring of another fixture is not switched: its coils do something else.
Act<void> HandRun::begin() {
    auto right = co_await right_fixture(*parts_.relays, plan_.fixture);
    if (!right) co_return right.error();
    right_ = true;
    auto granted = co_await permit_.grant();
    if (!granted) co_return granted.error();
    if (!given_back_.empty()) co_return not_done(given_back_);
    auto open = co_await open_all_but_targets(*parts_.relays, plan_.fixture);
    co_return open;
}

Act<void> HandRun::look() {
    auto allowed = co_await permit_.closed();
    if (!allowed) co_return allowed.error();
    if (!standing_.connected || standing_.state != HandState::held) co_return Outcome<void>();
    const std::array<port::CoilState, 1> coil{port::CoilState{standing_.connected->coil, true}};
    auto held = co_await parts_.relays->holds(coil);
    co_return held;
}

void HandRun::give_back(const std::string& why) {
    if (given_back_.empty()) given_back_ = why;
    permit_.withdraw(why);
}

void HandRun::end_by(const std::string& why) {
    permit_.withdraw(why);
    standing_.state = HandState::ending;
    standing_.sentence = why;
    changed_();
}

// Within its own time, and once more if it fails: a lost answer must not leave a relay closed.
Act<void> HandRun::open_relays() {
    auto opened =
        co_await within(*parts_.clock, relay_limit,
                        open_all_but_targets(*parts_.relays, plan_.fixture), "Opening all relays");
    if (!opened)
        opened = co_await within(*parts_.clock, relay_limit,
                                 open_all_but_targets(*parts_.relays, plan_.fixture),
                                 "Opening all relays");
    if (opened) standing_.connected.reset();
    co_return opened;
}

std::optional<Fault> HandRun::why_not(Of what) const {
    if (standing_.state == HandState::busy)
        return not_done("Something is under way: " + standing_.doing + ". Wait for its end.");
    if (standing_.state != HandState::held || !permit_.granted())
        return not_done("The fixture is not in hand (any more). Take it in hand first.");
    if (what == Of::relays) return std::nullopt;
    const auto& finger = plan_.fixture.finger;
    if (!finger || parts_.finger == nullptr) return not_done("The fixture has no finger.");
    if (finger->stop.empty())
        return not_done(
            "The profile has no finger.stop: a lease that runs out could not end a way. Add stop, "
            "with discard or resume.");
    return std::nullopt;
}

Act<void> HandRun::carry_out(Of what, std::string doing, Act<void> act) {
    if (auto no = why_not(what)) co_return *no;
    standing_.state = HandState::busy;
    standing_.doing = doing;
    under_way_ = what;
    changed_();
    auto done = co_await std::move(act);
    note_end(done, doing);
    co_return done;
}

void HandRun::note_end(const Outcome<void>& outcome, const std::string& doing) {
    standing_.doing.clear();
    if (!outcome && !changes_nothing(outcome.error())) permit_.withdraw(outcome.error().what);
    if (standing_.state == HandState::busy) {
        standing_.state = HandState::held;
        standing_.sentence = outcome ? doing + ": done." : outcome.error().what;
        if (outcome && under_way_ == Of::finger && standing_.at)
            standing_.sentence = words_of(*standing_.at);
    }
    changed_();
}

Act<void> HandRun::connect(std::uint16_t nest, std::uint16_t channel, std::string reference) {
    std::optional<Connection> wanted;
    std::string doing = "Every reference off";
    if (!reference.empty()) {
        const auto* step = plan_.fixture.equipment.step(nest, channel, reference);
        if (step == nullptr)
            co_return not_done("Nest " + std::to_string(nest) + " has no reference \"" + reference +
                               "\" on channel " + std::to_string(channel) + ".");
        wanted = Connection{nest, channel, std::move(reference), step->coil};
        doing = words_of(*wanted) + " on";
    }
    auto done = co_await carry_out(Of::relays, std::move(doing), switch_in(std::move(wanted)));
    co_return done;
}

// The board opens first, lets it settle, closes, and reads back.
Act<void> HandRun::switch_in(std::optional<Connection> wanted) {
    std::vector<port::CoilState> coils;
    const auto& before = standing_.connected;
    if (before && (!wanted || wanted->coil != before->coil)) coils.push_back({before->coil, false});
    if (wanted) coils.push_back({wanted->coil, true});
    if (coils.empty()) co_return Outcome<void>();
    standing_.connected.reset();
    auto switched = co_await parts_.relays->set(coils);
    if (!switched) co_return switched.error();
    standing_.connected = std::move(wanted);
    co_return switched;
}

Act<void> HandRun::home() {
    auto done = co_await carry_out(Of::finger, "The finger homes", home_and_lift());
    co_return done;
}

// What a killed program left in front of the finger is swung off only once that is known to be up.
Act<void> HandRun::home_and_lift() {
    auto homed = co_await parts_.finger->home();
    if (!homed) co_return homed.error();
    homed_ = true;
    auto lifted = co_await lift_up();
    if (!lifted) co_return lifted.error();
    std::vector<port::CoilState> targets;
    for (const auto& target : plan_.fixture.targets)
        if (target.coil) targets.push_back({*target.coil, false});
    if (targets.empty()) co_return Outcome<void>();
    auto swung = co_await parts_.relays->set(targets);
    co_return swung;
}

Act<void> HandRun::lift() {
    auto done = co_await carry_out(Of::finger, "The finger is lifted", lift_up());
    co_return done;
}

// A driver homes by itself at the first move after it was opened: never unasked here.
Act<void> HandRun::lift_up() {
    if (!homed_) co_return not_done("The finger does not know its place. Home it first.");
    standing_.at.reset();
    auto lifted = co_await parts_.finger->lift();
    if (!lifted) co_return lifted.error();
    auto at = co_await parts_.finger->position();
    if (!at) co_return at.error();
    standing_.at = *at;
    co_return Outcome<void>();
}

Act<void> HandRun::step(Position by) {
    auto done = co_await carry_out(Of::finger, "The finger makes a step", jog_by(by));
    co_return done;
}

Act<void> HandRun::jog_by(Position by) {
    if (!homed_) co_return not_done("The finger does not know its place. Home it first.");
    const auto before = standing_.at;
    standing_.at.reset();
    auto at = co_await jog(*parts_.finger, *plan_.fixture.finger, by, most_hand_jog);
    if (!at) {
        if (changes_nothing(at.error())) standing_.at = before;
        co_return at.error();
    }
    standing_.at = *at;
    co_return Outcome<void>();
}

Act<void> HandRun::over(std::uint16_t nest, std::string name) {
    const auto* place = plan_.fixture.nest(nest);
    const auto& keys = plan_.map.keys;
    const auto key = std::find_if(keys.begin(), keys.end(),
                                  [&](const language::Key& one) { return one.name == name; });
    if (place == nullptr || key == keys.end())
        co_return not_done("There is no key \"" + name + "\" in nest " + std::to_string(nest) +
                           ".");
    if (!plan_.fixture.finger) co_return not_done("The fixture has no finger.");
    const Position to = engine::over(*plan_.fixture.finger, *place, *key, false);
    auto done = co_await carry_out(Of::finger,
                                   "The finger goes over key " + name + " of nest " +
                                       std::to_string(nest) + ", at the safe height",
                                   go_to(to));
    co_return done;
}

Act<void> HandRun::go_to(Position to) {
    auto up = co_await lift_up();
    if (!up) co_return up.error();
    auto there = co_await parts_.finger->go(to);
    if (!there) co_return there.error();
    auto at = co_await parts_.finger->position();
    if (!at) co_return at.error();
    standing_.at = *at;
    co_return Outcome<void>();
}

}  // namespace padtrim::engine
