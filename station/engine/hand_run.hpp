// An engineer at an empty station: reference steps are connected and the finger is moved by hand,
// one act after the other, under a lease that somebody has to keep alive.
//
//   new --run(): right fixture, every relay open--> held --an act begins--> busy --it ends--> held
//    |                                                |                       |
//    |  the lease runs out, give_back(), a guard opens, a device fails: the permit is withdrawn
//    v                                                v                       v
//   ending: a finger on its way stops within one look, every relay opens, what was begun ends
//    '--> over
//
// While it lasts the permit and the relays are looked at every `look_pause`, and by the finger
// before each move and every few milliseconds of one. One reference step is connected at a time:
// the one before it opens first. No unit is loaded, no pin pressed, no supply switched on. What is
// refused (bounds, another act under way, a place that is lost) leaves the lease as it is; any
// other fault ends it. Where the finger stands at the end, there it stays: nothing moves without a
// lease, and the next lot lifts it when a person starts one.
//
// CAUTION: this moves the finger. The permit stands in the interlock's place in `parts` and is a
// convenience of software; guard, emergency stop and enabling device have to work without it.
// Threading: one io_context. Everything handed in outlives the run, and the run its acts.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "station/engine/act.hpp"
#include "station/engine/contact_counter.hpp"
#include "station/engine/lot_run.hpp"
#include "station/engine/motion_permit.hpp"

namespace padtrim::engine {

// Of a jog along each axis. Common practice for steps by hand, no source.
inline constexpr Millimetre most_hand_jog{5.0};
// Shorter than a person's reaction, and few requests on the relay board's line.
inline constexpr std::chrono::milliseconds look_pause{100};

enum class HandState { fresh, held, busy, ending, over };
[[nodiscard]] std::string_view name_of(HandState state);

// A reference step that is switched onto a channel.
struct Connection {
    std::uint16_t nest = 1, channel = 0;
    std::string reference;
    std::uint16_t coil = 0;
    friend bool operator==(const Connection&, const Connection&) = default;
};

struct HandStanding {
    HandState state = HandState::fresh;
    std::string doing;                    // what is under way, "" for nothing
    std::optional<Connection> connected;  // and read back, where the board can
    std::optional<port::Position> at;     // nothing while the finger does not know its place
    std::string sentence;                 // what the last act came to, or why it is over
};

class HandRun {
  public:
    // `parts.interlock` is `permit`, or something that asks it. `changed` is called after whatever
    // a face would show differently.
    HandRun(
        const Parts& parts, const language::Plan& plan, MotionPermit& permit,
        std::function<void()> changed = [] {});
    HandRun(const HandRun&) = delete;
    HandRun& operator=(const HandRun&) = delete;

    // From the lease's beginning to its end; once. Grants the permit at its begin.
    [[nodiscard]] port::Task<void> run();
    // Ends it, whatever is under way; `why` is a sentence. From any state.
    void give_back(const std::string& why);

    // Opens what was connected and switches this step in; a reference of "" only opens.
    [[nodiscard]] Act<void> connect(std::uint16_t nest, std::uint16_t channel,
                                    std::string reference);
    // Over the finger's whole travel, and up.
    [[nodiscard]] Act<void> home();
    [[nodiscard]] Act<void> lift();
    [[nodiscard]] Act<void> step(port::Position by);
    // Over a key of this nest, at the safe height.
    [[nodiscard]] Act<void> over(std::uint16_t nest, std::string key);

    [[nodiscard]] const HandStanding& standing() const { return standing_; }
    // Since the last take, for the records.
    [[nodiscard]] std::vector<record::CoilOperations> take_operations() { return contacts_.take(); }

  private:
    enum class Of { relays, finger };
    [[nodiscard]] std::optional<port::Fault> why_not(Of what) const;
    [[nodiscard]] Act<void> carry_out(Of what, std::string doing, Act<void> act);
    void note_end(const port::Outcome<void>& outcome, const std::string& doing);
    [[nodiscard]] Act<void> begin();
    [[nodiscard]] Act<void> look();
    [[nodiscard]] Act<void> switch_in(std::optional<Connection> wanted);
    [[nodiscard]] Act<void> home_and_lift();
    [[nodiscard]] Act<void> jog_by(port::Position by);
    [[nodiscard]] Act<void> go_to(port::Position to);
    [[nodiscard]] Act<void> lift_up();
    [[nodiscard]] Act<void> open_relays();
    void end_by(const std::string& why);

    Parts parts_;
    const language::Plan& plan_;
    MotionPermit& permit_;
    std::function<void()> changed_;
    ContactCounter contacts_;
    HandStanding standing_;
    Of under_way_ = Of::relays;  // while busy
    bool right_ = false;         // the fixture, whose coils may be switched
    bool homed_ = false;
    std::string given_back_;  // why, before there was a permit to withdraw
};

}  // namespace padtrim::engine
