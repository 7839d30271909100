// One nest with the unit in it, as the steps use it: it brings the fixture and the unit into a
// situation, takes readings and notes each with the situation it was taken in.
//
// Nothing is judged here. Every act returns the first fault and leaves the rest undone; make_safe()
// is the way out of whatever state that is. Cancellation: an act that is cancelled either returns
// the fault `cancelled` or throws operation_aborted; the finger's turn is kept until make_safe().
// Threading: the lot's io_context. Ownership: everything handed in outlives it.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "db/record/observations.hpp"
#include "fixtures/port/clock.hpp"
#include "fixtures/port/turns.hpp"
#include "recipes/language/key_track.hpp"
#include "recipes/language/plan.hpp"
#include "station/engine/act.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim::engine {

// The safe state's own deadline for a relay board: far above what a healthy one needs, which
// answers in milliseconds, short enough to wait for.
inline constexpr std::chrono::milliseconds relay_limit{5000};
// A product that reports a touch, or its end, does so within this.
inline constexpr std::chrono::milliseconds report_time{500};

class Workstand {
  public:
    // Says how far a step is: the key at work (or ""), states or keys done, and of how many.
    using Progress = std::function<void(const std::string&, std::uint32_t, std::uint32_t)>;

    // Told when the person is asked.
    using Asking = std::function<void(const Question&)>;

    // Told when it waits for something that another nest has.
    using Waiting = std::function<void(const std::string&)>;

    Workstand(const Parts& parts, const language::Plan& plan, const NestParts& nest,
              port::Turns& finger, Progress progress = {}, Asking asking = {},
              Waiting waiting = {});

    [[nodiscard]] const language::Plan& plan() const { return plan_; }
    [[nodiscard]] const language::Nest& nest() const { return nest_; }
    [[nodiscard]] port::PanelUnit& unit() { return unit_; }
    [[nodiscard]] port::Clock& clock() { return *parts_.clock; }
    void say(const std::string& key, std::uint32_t done, std::uint32_t of) const;

    // A new unit: nothing observed yet, its time starts now.
    void begin();
    record::Observations seen;
    [[nodiscard]] std::int64_t now_us() const;  // since this unit's begin()

    [[nodiscard]] Act<void> power_on();   // returns when the unit may answer
    [[nodiscard]] Act<void> power_off();  // references and pins first
    [[nodiscard]] Act<void> connect_pins(bool connected);
    // Before it is left, whether it lasted is looked at: see still_stands().
    [[nodiscard]] Act<void> test_mode(bool on);
    // What was set still stands: the relays (a fault of the fixture when not) and the unit's test
    // mode, which one that restarted, or another unit, does not have.
    [[nodiscard]] Act<void> still_stands();
    [[nodiscard]] Act<void> relays_stand();
    // Whether anything may move; the interlock's fault when not.
    [[nodiscard]] Act<void> permitted();
    [[nodiscard]] Act<void> open_references();
    // Opens what was in and switches this one in; channels empty: on every channel.
    [[nodiscard]] Act<void> switch_in(std::string reference, std::vector<std::uint16_t> channels);
    // Pins on, references open, test mode on: what a measurement starts from.
    [[nodiscard]] Act<void> ready_to_measure();

    // `scans` readings in the present situation, noted under this step.
    [[nodiscard]] Act<void> take(std::string step, unsigned scans, record::Reading reading);
    // So many more in the same situation, added to the last ones taken.
    [[nodiscard]] Act<void> take_more(unsigned scans);
    // Does nothing where the profile has no sensor.
    [[nodiscard]] Act<void> note_climate();
    [[nodiscard]] Act<void> note_trims(record::TrimMoment moment);
    // The product's own report, as soon as it is the expected one, else the last within its time.
    [[nodiscard]] Act<void> note_touched(std::string step, std::vector<bool> expected);

    // Asks the person, for so long; nothing is an answer too. False when nobody can be asked.
    [[nodiscard]] Act<bool> ask(std::string step, std::string text, std::string picture,
                                std::chrono::milliseconds patience);
    // Of a person who has said that it may: a finger that lost its place homes and is lifted.
    [[nodiscard]] Act<void> home_if_lost();
    // What stands for the answer to a question that nobody was there to answer.
    void note_answer(std::string step, std::string text, std::optional<bool> yes);
    // So many requests in a row, and the unit's own reading of its supply.
    [[nodiscard]] Act<void> note_link(std::string step, unsigned requests);
    // The product's own report now; no waiting for an expected one.
    [[nodiscard]] Act<void> note_report(std::string step);

    // Waits for the finger's turn. A missing finger is a fault of the fixture.
    [[nodiscard]] Act<void> take_finger();
    [[nodiscard]] Act<void> finger_to(const language::Key& key, bool touching);
    // References open, pins off, test mode left.
    [[nodiscard]] Act<void> as_a_user_meets_it();
    // Over a place of the panel, so high above a nominal surface; 0 touches.
    [[nodiscard]] Act<void> finger_at(std::string key, language::PanelPlace place,
                                      Millimetre height);
    // Notes the product's report as soon as it is (or is not) of this key, else the last within
    // the time; the key "" stands for any. Says whether the key is reported.
    [[nodiscard]] Act<bool> note_within(std::string step, std::string key, bool wanted,
                                        std::chrono::milliseconds hold);
    // Report and positions with the finger where it stands.
    [[nodiscard]] Act<void> note_position(std::string step);
    struct Way {
        std::string key;  // over which it is made; "" for none
        language::PanelPlace place;
        Millimetre height;
        MillimetrePerSecond speed;
        std::chrono::milliseconds linger{0};  // at its end, until the report comes
        std::chrono::milliseconds pause{0};   // between looks
    };
    // Straight to the way's end, looking at finger and report in turn.
    [[nodiscard]] Act<void> glide(std::string step, Way way);
    // Lifts the finger and swings this target in front of it; "": nothing.
    [[nodiscard]] Act<void> put_on(std::string target);
    // Lifts it away, swings a target off and gives the turn back.
    [[nodiscard]] Act<void> finger_away();

    // References open, pins off, finger lifted (if this nest has it, and not while the interlock
    // is open), supply off; each within its own time, and each tried whatever became of the one
    // before. Returns the first fault.
    [[nodiscard]] Act<void> make_safe();

  private:
    [[nodiscard]] Act<void> read_into(record::Readings& taken, unsigned scans);
    [[nodiscard]] Act<void> set(std::vector<port::CoilState> coils);
    [[nodiscard]] Act<void> test_mode_lasted();
    [[nodiscard]] Act<void> set_one(std::uint16_t coil, bool closed);
    using SafeAct = Act<void> (Workstand::*)();
    // Within its own time, and once more if it fails: a lost answer must not leave a unit live.
    // `left` is what a person has to know when it failed.
    [[nodiscard]] Act<void> insist(SafeAct act, std::chrono::milliseconds limit, std::string what,
                                   std::string left);
    [[nodiscard]] Act<void> release_all();
    [[nodiscard]] Act<void> supply_off();
    [[nodiscard]] Act<void> lift_unless_open();
    [[nodiscard]] Act<void> after_hands(std::string serial, std::chrono::milliseconds patience);
    [[nodiscard]] Act<void> take_off();
    [[nodiscard]] port::Position place_of(language::PanelPlace place, Millimetre height) const;
    // The interlock is looked at meanwhile.
    [[nodiscard]] Act<void> pause_on_the_way(std::chrono::milliseconds pause);
    [[nodiscard]] Act<record::Sighting> look_at(std::string step, record::FingerPose pose,
                                                std::int64_t finger_at_us);
    void log(LogLevel level, const std::string& line) const;

    const Parts& parts_;
    const language::Plan& plan_;
    const language::Nest& nest_;
    port::PanelUnit& unit_;
    port::Turns& finger_turns_;
    Progress progress_;
    Asking asking_;
    Waiting waiting_;
    port::Turn finger_turn_;
    record::Situation situation_;
    bool supplied_ = false;
    std::vector<std::uint16_t> closed_;         // reference coils
    std::optional<std::uint16_t> target_coil_;  // of the target that is in front of the finger
    Millimetre target_thickness_;
    std::optional<std::uint32_t> last_counter_;
    port::Instant began_{};
};

// "relay board on ...: ..." as the record keeps it.
[[nodiscard]] record::FaultNote note_of(const port::Fault& fault, const std::string& step);

}  // namespace padtrim::engine
