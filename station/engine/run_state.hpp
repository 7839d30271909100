// Where a nest is in the life of one unit, as a pure table: next(State, Event) -> State.
//
//   waiting --done--> powering --done--> identifying --done--> measuring --write_due--> intending
//      |                                      |                 |  ^--more                 |
//      |--no_unit, lot_ends--> closed         |set_aside        |steps_over, stopped       |done:
//      the |                                      v                 v |intent is
//      |<--done-- leaving_unrecorded <--------'                 |                          |durable
//      |<--done-- leaving_untouched <---------------------------'<--stopped----------------|
//      |<--done-- leaving_unproven <--stopped, steps_over-------.   writing <--------------'
//      |                                                        |   reading_back
//      |                                                        |   committing
//      |<--done-- leaving_proven <--verified-- proving <--done--'---'
//                                                 ^--more
//
// A unit fault or an abort leads from powering .. intending to leaving_untouched and from writing
// .. proving to leaving_unproven; so do a fixture fault and the lot's end, except that they leave a
// unit that is not known yet (powering, identifying) unrecorded in its nest.
// The act of a leaving state is: safe state, judge, remember. `leaving_unrecorded` has no run
// to remember. A store fault leads to `abandoning` (safe state, nothing more is stored) and
// then to `closed`: the next start settles the run from its durable stage. What the table promises
// (tests/station/engine/run_state_test.cpp goes through all pairs): no way into `writing` but
// through `intending`; once there, never back to an untouched state, and no way to `leaving_proven`
// but through `proving`; every state but `closed` has a way out on any fault. Pure: no I/O, no
// clock. Events that mean nothing in a state leave it as it is.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace padtrim::engine {

enum class RunState : std::uint8_t {
    waiting,      // for a unit
    powering,     // supply on, booting
    identifying,  // who is it, may it run; ends with the run on record
    measuring,    // steps before the write-back
    intending,    // trims worked out, the intent made durable; nothing is written yet
    writing,
    reading_back,
    committing,
    proving,  // power-cycle and verification, and whatever the recipe puts between
    leaving_unrecorded,
    leaving_untouched,
    leaving_unproven,
    leaving_proven,
    abandoning,
    closed,
};

enum class RunEvent : std::uint8_t {
    done,        // the state's act succeeded
    more,        // a step ended, another of the same phase follows
    write_due,   // the next step writes
    steps_over,  // no step is left
    verified,    // the verification holds and no step is left
    stopped,     // a check did not pass, so nothing more is done to the unit
    no_unit,     // none came
    set_aside,   // not to be run
    unit_fault,
    fixture_fault,
    store_fault,
    aborted,   // by a person
    lot_ends,  // a fault elsewhere, or no new units are wanted
};

inline constexpr std::array all_run_states{
    RunState::waiting,
    RunState::powering,
    RunState::identifying,
    RunState::measuring,
    RunState::intending,
    RunState::writing,
    RunState::reading_back,
    RunState::committing,
    RunState::proving,
    RunState::leaving_unrecorded,
    RunState::leaving_untouched,
    RunState::leaving_unproven,
    RunState::leaving_proven,
    RunState::abandoning,
    RunState::closed,
};
inline constexpr std::array all_run_events{
    RunEvent::done,       RunEvent::more,          RunEvent::write_due,   RunEvent::steps_over,
    RunEvent::verified,   RunEvent::stopped,       RunEvent::no_unit,     RunEvent::set_aside,
    RunEvent::unit_fault, RunEvent::fixture_fault, RunEvent::store_fault, RunEvent::aborted,
    RunEvent::lot_ends,
};

[[nodiscard]] RunState next(RunState state, RunEvent event);
[[nodiscard]] std::string_view name_of(RunState state);
[[nodiscard]] std::string_view name_of(RunEvent event);

// From the durable intent to the proof: an end here means quarantine.
[[nodiscard]] constexpr bool is_unproven(RunState state) {
    return state == RunState::writing || state == RunState::reading_back ||
           state == RunState::committing || state == RunState::proving ||
           state == RunState::leaving_unproven;
}
// An abort by a person reaches the unit's work in these.
[[nodiscard]] constexpr bool is_abortable(RunState state) {
    return state >= RunState::powering && state <= RunState::proving;
}
[[nodiscard]] constexpr bool is_leaving(RunState state) {
    return state >= RunState::leaving_unrecorded && state <= RunState::abandoning;
}

}  // namespace padtrim::engine
