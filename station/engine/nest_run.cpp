#include "station/engine/nest_run.hpp"

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>

namespace padtrim::engine {

namespace asio = boost::asio;

NestRun::NestRun(Lot& lot, const NestParts& parts)
    : lot_(lot),
      nest_(*lot.plan->fixture.nest(parts.number)),
      stand_(
          lot.parts, *lot.working, parts, lot.finger,
          [this](const std::string& key, std::uint32_t done, std::uint32_t of) {
              say(key, done, of);
          },
          [this](const Question& asked) {
              lot_.tell(PersonAsked{nest_.number, serial_, asked.text, asked.picture});
          },
          [this](const std::string& thing) {
              lot_.tell(StepProgress{nest_.number, serial_, step_name(), "", 0, 1,
                                     lot_.duration.left(at_step_, 0, 1), thing});
          }),
      write_back_(stand_, lot.records, *lot.parts.wall_clock, lot.point) {
    lot.stop_waiting.push_back([this] {
        if (asking_) cancel_.emit(asio::cancellation_type::terminal);
    });
}

void NestRun::abort() {
    if (!is_abortable(state_)) return;
    abort_wanted_ = true;
    // A commit is short; cut off, and followed by the safe state, it would be torn.
    if (state_ != RunState::committing) cancel_.emit(asio::cancellation_type::terminal);
}

port::Task<void> NestRun::run() {
    while (state_ != RunState::closed) {
        const RunEvent event = co_await next_event();
        if (event == RunEvent::aborted) stand_.seen.aborted = true;
        const RunState after = next(state_, event);
        if (after != state_) enter(after);
    }
}

void NestRun::enter(RunState state) {
    lot_.log(LogLevel::debug, "nest " + std::to_string(nest_.number) + ": " +
                                  std::string(name_of(state_)) + " -> " +
                                  std::string(name_of(state)));
    state_ = state;
    if (state != RunState::powering) return;
    stand_.begin();
    serial_.clear();
    set_aside_ = {};
    run_.reset();
    ends_.clear();
    margins_.begin();
    at_step_ = written_at_ = 0;
    attempt_ = 1;
    abort_wanted_ = false;
}

port::Task<RunEvent> NestRun::next_event() {
    if (is_leaving(state_)) co_return co_await leave();
    if (lot_.store_failed()) co_return RunEvent::store_fault;
    if (abort_wanted_ && is_abortable(state_)) co_return RunEvent::aborted;
    if (lot_.ended_by()) {
        note_lot_end();
        co_return RunEvent::lot_ends;
    }
    const auto executor = co_await asio::this_coro::executor;
    try {
        const RunEvent event = co_await asio::co_spawn(
            executor, cancellable_act(),
            asio::bind_cancellation_slot(cancel_.slot(), asio::use_awaitable));
        co_return event;
    } catch (const boost::system::system_error& error) {
        if (error.code() != asio::error::operation_aborted) throw;
    }
    co_return abort_wanted_ ? RunEvent::aborted : RunEvent::lot_ends;
}

void NestRun::note_lot_end() {
    if (!is_abortable(state_)) return;
    record::FaultNote note = *lot_.ended_by();
    note.step = step_name();
    note.what = "The lot ended while this unit was at work. " + note.what;
    stand_.seen.faults.push_back(std::move(note));
}

// Suspends once first: with Boost 1.81 a spawned coroutine that is cancelled and ends without ever
// having been suspended lets its exception out of io_context::run().
port::Task<RunEvent> NestRun::cancellable_act() {
    const auto executor = co_await asio::this_coro::executor;
    co_await asio::post(executor, asio::use_awaitable);
    co_return co_await act();
}

port::Task<RunEvent> NestRun::act() {
    switch (state_) {
        case RunState::waiting:
            return wait_for_unit();
        case RunState::powering:
            return power();
        case RunState::identifying:
            return identify();
        case RunState::measuring:
            return measure();
        case RunState::intending:
            return intend();
        case RunState::proving:
            return prove();
        default:
            return write();
    }
}

const language::Step* NestRun::step() const {
    const auto& steps = lot_.working->recipe.steps;
    return at_step_ < steps.size() ? &steps[at_step_] : nullptr;
}

bool NestRun::step_writes() const {
    return step() != nullptr && std::holds_alternative<language::WriteTrimsStep>(step()->body);
}

std::string NestRun::step_name() const {
    if (state_ == RunState::powering) return "power";
    return step() != nullptr ? step()->name : "";
}

void NestRun::say(const std::string& key, std::uint32_t done, std::uint32_t of) {
    if (margins_.says(key)) {
        margins_.look(*lot_.working, stand_.seen, step_name());
        show_margins();
    }
    const auto left = lot_.duration.left(at_step_, done, of);
    lot_.tell(StepProgress{nest_.number, serial_, step_name(), key, done, of, left});
}

void NestRun::show_margins() {
    auto news = margins_.news();
    if (!news.empty()) lot_.tell(KeysJudged{nest_.number, serial_, std::move(news)});
}

RunEvent NestRun::event_of(const Outcome& outcome, RunEvent when_done) {
    if (outcome) return when_done;
    const port::Fault& fault = outcome.error();
    record::FaultNote note = note_of(fault, step_name());
    if (lot_.store_failed()) {
        lot_.end_by(note, 0);
        return RunEvent::store_fault;
    }
    if (abort_wanted_ && fault.kind == port::FaultKind::cancelled) return RunEvent::aborted;
    stand_.seen.faults.push_back(note);
    if (fault.blame == port::Blame::fixture) {
        lot_.end_by(note, nest_.number);
        return RunEvent::fixture_fault;
    }
    lot_.log(LogLevel::warning, note.device + ": " + note.what);
    lot_.tell(FaultSeen{nest_.number, std::move(note)});
    return RunEvent::unit_fault;
}

}  // namespace padtrim::engine
