// One nest of a lot: unit after unit, an act for each state of run_state.hpp's table.
//
// The acts between power-on and proof can be cancelled by abort(); the way out (safe state,
// verdict, record) cannot. Threading: the lot's io_context. The lot outlives the nest's run.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <boost/asio/cancellation_signal.hpp>

#include "station/engine/loader.hpp"
#include "station/engine/lot.hpp"
#include "station/engine/run_state.hpp"
#include "station/engine/settlement.hpp"
#include "station/engine/shown_margins.hpp"
#include "station/engine/workstand.hpp"
#include "station/engine/write_back.hpp"
#include "station/metrology/flow.hpp"

namespace padtrim::engine {

// Units in a row that failed on the same check; those without a verdict do not count.
struct SameFailures {
    unsigned count = 0;
    std::string check, reason;
    void add(const record::UnitResult& result);
    void clear();
};

class NestRun {
  public:
    NestRun(Lot& lot, const NestParts& parts);
    NestRun(const NestRun&) = delete;
    NestRun& operator=(const NestRun&) = delete;

    [[nodiscard]] port::Task<void> run();
    void abort();
    // The way out after an exception, which is a bug; the run is over then.
    [[nodiscard]] Act<void> make_safe() { return stand_.make_safe(); }
    [[nodiscard]] std::uint16_t number() const { return nest_.number; }
    [[nodiscard]] RunState state() const { return state_; }

  private:
    using Outcome = port::Outcome<void>;
    [[nodiscard]] port::Task<RunEvent> next_event();
    [[nodiscard]] port::Task<RunEvent> cancellable_act();
    [[nodiscard]] port::Task<RunEvent> act();
    void enter(RunState state);
    void note_lot_end();

    // Acts (nest_run_acts.cpp).
    [[nodiscard]] port::Task<RunEvent> wait_for_unit();
    [[nodiscard]] port::Task<RunEvent> call_for_help();
    // Runs the step at work and looks whether all stood as it was set while it did.
    [[nodiscard]] Act<void> step_through();
    [[nodiscard]] Act<Loading> load();
    [[nodiscard]] Act<Loading> ask_person();
    [[nodiscard]] Act<bool> open_guard();
    [[nodiscard]] port::Task<RunEvent> power();
    [[nodiscard]] port::Task<RunEvent> identify();
    [[nodiscard]] NotRun why_not_run(const record::UnitStanding& standing);
    [[nodiscard]] Act<void> start_run();
    [[nodiscard]] port::Task<RunEvent> measure();
    [[nodiscard]] port::Task<RunEvent> intend();
    [[nodiscard]] port::Task<RunEvent> write();  // and read back, and commit
    [[nodiscard]] port::Task<RunEvent> prove();
    [[nodiscard]] port::Task<RunEvent> leave();
    [[nodiscard]] Act<void> remember();
    [[nodiscard]] Act<void> remember_set_aside();
    [[nodiscard]] Act<void> late_start();

    void give_back_claim();
    [[nodiscard]] const language::Step* step() const;
    [[nodiscard]] bool step_writes() const;
    // Marks the step done and judges it. A step that is done again is still the step at work.
    enum class StepEnd { next, again, stop };
    [[nodiscard]] StepEnd end_step();
    [[nodiscard]] RunEvent event_of_end();
    // Goes on to the next step that applies to this unit.
    void pass_over();
    [[nodiscard]] bool all_passed(std::size_t from) const;
    // The event that an outcome amounts to; faults are noted.
    [[nodiscard]] RunEvent event_of(const Outcome& outcome, RunEvent when_done = RunEvent::done);
    [[nodiscard]] std::string step_name() const;
    void say(const std::string& key, std::uint32_t done, std::uint32_t of);
    void show_margins();

    Lot& lot_;
    const language::Nest& nest_;
    Workstand stand_;
    WriteBack write_back_;
    boost::asio::cancellation_signal cancel_;
    RunState state_ = RunState::waiting;
    bool first_ = true;  // what a handler's nest holds at the start is not unloaded unseen
    unsigned faults_in_a_row_ = 0;
    record::FaultNote last_fault_;
    SameFailures same_;
    bool asking_ = false;  // a person, who may be told that no unit is wanted any more
    bool abort_wanted_ = false;

    // Of the unit at work.
    std::string label_, serial_;
    bool left_over_ = false;  // lay here when the lot began
    bool outsider_ = false;   // and the lot has no place for it
    bool claimed_ = false;    // of the units that the lot wants
    std::optional<record::RunId> run_;
    NotRun set_aside_;
    std::size_t at_step_ = 0;
    std::uint32_t attempt_ = 1;   // at this step
    metrology::StepEnds ends_;    // of the steps before it
    std::size_t written_at_ = 0;  // the step that wrote
    ShownMargins margins_;
};

}  // namespace padtrim::engine
