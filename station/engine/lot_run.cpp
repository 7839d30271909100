#include "station/engine/lot_run.hpp"

#include <chrono>
#include <exception>
#include <optional>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "station/engine/deadline.hpp"
#include "station/engine/finger_care.hpp"
#include "station/engine/lot.hpp"
#include "station/engine/nest_run.hpp"
#include "station/engine/open_relays.hpp"
#include "station/engine/right_fixture.hpp"
#include "station/engine/settlement.hpp"

namespace padtrim::engine {

namespace asio = boost::asio;

namespace {

record::FaultNote bug_note() {
    return {"", "unexpected_reply", "padtrim",
            "An error in padtrim itself ended the lot; units at work have no verdict.",
            record::Blame::fixture};
}

}  // namespace

struct LotRun::State {
    State(Parts parts, language::PlanPtr plan, LotOptions options, EventSink sink, AskForUnit ask,
          WriteBackPoint point)
        : lot(std::move(parts), std::move(plan), std::move(options), std::move(sink),
              std::move(ask), std::move(point)) {}

    Act<void> settle();
    port::Task<LotOutcome> carry_out();
    port::Task<void> light_out();
    Act<void> close_books();
    enum class Arms { stay, too };  // with targets in front of the finger
    Act<void> all_relays_open(Arms arms);
    Act<void> start_safe();
    Act<void> finger_up();
    Act<void> end_safe();
    port::Task<void> run_nests();
    port::Task<void> run_nest(NestRun& nest);
    void note_fault(const port::Outcome<void>& outcome);
    void abort_all();
    LotOutcome outcome() const;

    Lot lot;
    std::vector<std::unique_ptr<NestRun>> nests;
    std::exception_ptr bug;
    std::optional<asio::steady_timer> lit;  // while the stack light is driven; only cancelled
    bool lamps_driven = false;
};

LotRun::LotRun(Parts parts, language::PlanPtr plan, LotOptions options, EventSink sink,
               AskForUnit ask, WriteBackPoint point)
    : state_(std::make_unique<State>(std::move(parts), std::move(plan), std::move(options),
                                     std::move(sink), std::move(ask), std::move(point))) {}

LotRun::~LotRun() = default;

asio::awaitable<LotOutcome> LotRun::run() {
    State& state = *state_;
    // A person has begun it; a shift check's lots are begun together.
    port::Interlock* const interlock = state.lot.parts.interlock;
    if (interlock != nullptr && !state.lot.options.shift_check) interlock->reset();
    auto right = co_await right_fixture(*state.lot.parts.relays, state.lot.plan->fixture);
    state.note_fault(right);
    LotOutcome outcome = state.outcome();
    if (right)
        outcome = co_await state.carry_out();
    else
        state.lot.tell(LotClosed{outcome.count, outcome.reason});
    if (state.bug) std::rethrow_exception(state.bug);
    co_return outcome;
}

port::Task<LotOutcome> LotRun::State::carry_out() {
    auto opened = co_await lot.open();
    if (opened) opened = co_await settle();
    if (opened) opened = co_await start_safe();
    note_fault(opened);
    const auto executor = co_await asio::this_coro::executor;
    lit.emplace(executor, asio::steady_timer::time_point::max());
    lamps_driven = true;
    asio::co_spawn(executor, lot.light.run(), [this](std::exception_ptr thrown) {
        if (thrown) bug = thrown;
        lamps_driven = false;
        lit->cancel();
    });
    if (opened) co_await run_nests();
    co_await lot.light.rest();
    auto safe = co_await end_safe();
    lot.light.all_went_out();
    note_fault(safe);
    if (bug) {
        co_await light_out();
        co_return outcome();
    }
    auto counted = co_await lot.keep_counts();
    note_fault(counted);
    auto closed = co_await close_books();
    note_fault(closed);
    const LotOutcome ended = outcome();
    lot.tell(LotClosed{ended.count, ended.reason});
    co_await light_out();
    co_return ended;
}

// The lamps go to what the lot ended with, and stay so.
port::Task<void> LotRun::State::light_out() {
    lot.light.close();
    if (!lamps_driven) co_return;
    co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
    boost::system::error_code ignored;
    co_await lit->async_wait(asio::redirect_error(asio::use_awaitable, ignored));
}

void LotRun::abort_unit(std::uint16_t nest) {
    for (auto& run : state_->nests)
        if (run->number() == nest) run->abort();
}

void LotRun::stop_loading() {
    state_->lot.stop_loading();
}

// Every run that a stop cut off is settled before a unit is loaded; their nests may still hold
// them.
Act<void> LotRun::State::settle() {
    journal::Journal& journal = *lot.parts.journal;
    auto unfinished = co_await lot.records.keep(journal.unfinished(lot.options.station));
    if (!unfinished) co_return unfinished.error();
    std::vector<RunSettled> told;
    for (const record::UnfinishedRun& run : *unfinished) {
        const Settlement settlement = settlement_of(run.stage);
        const record::WallTime at = lot.parts.wall_clock->now();
        auto settled = co_await lot.records.keep(
            journal.settle(run.run, settlement.disposition, settlement.reason, at));
        if (!settled) co_return settled.error();
        told.push_back({run, settlement.disposition, settlement.reason});
    }
    auto counted = co_await lot.take_stock();
    if (!counted) co_return counted.error();
    for (const RunSettled& settled : told) lot.tell(settled);
    co_return port::Outcome<void>();
}

Act<void> LotRun::State::all_relays_open(Arms arms) {
    const language::FixtureProfile& fixture = lot.plan->fixture;
    auto open = arms == Arms::too ? lot.parts.relays->open_all()
                                  : open_all_but_targets(*lot.parts.relays, fixture);
    auto done =
        co_await within(*lot.parts.clock, relay_limit, std::move(open), "Opening all relays");
    co_return done;
}

// A stop may have left the finger on a panel, where it would falsify counts and be in a handler's
// way; and nothing is loaded under an open guard. A finger that lost its place homes here, where a
// person has begun something.
Act<void> LotRun::State::start_safe() {
    auto open = co_await all_relays_open(Arms::stay);
    if (!open) co_return open;
    if (lot.parts.interlock != nullptr) {
        auto closed = co_await lot.parts.interlock->closed();
        if (!closed) co_return closed.error();
    }
    auto up = co_await finger_up();
    if (!up) co_return up.error();
    auto all = co_await all_relays_open(Arms::too);
    co_return all;
}

Act<void> LotRun::State::finger_up() {
    port::DummyFinger* const finger = lot.parts.finger;
    if (finger == nullptr) co_return port::Outcome<void>();
    if (!lot.options.goes_on) {
        auto homed = co_await home_if_lost(*finger);
        if (!homed) co_return homed.error();
    }
    auto lifted = co_await finger->lift();
    co_return lifted;
}

// An arm is swung only where the finger is known to stand above it.
Act<void> LotRun::State::end_safe() {
    Arms arms = Arms::too;
    if (lot.parts.finger != nullptr && !lot.plan->fixture.targets.empty()) {
        auto at = co_await lot.parts.finger->position();
        const bool up = at && stands_up(*at, *lot.plan->fixture.finger);
        if (!up) arms = Arms::stay;
    }
    auto open = co_await all_relays_open(arms);
    co_return open;
}

void LotRun::State::note_fault(const port::Outcome<void>& outcome) {
    if (!outcome) lot.end_by(note_of(outcome.error(), ""), 0);
}

void LotRun::State::abort_all() {
    lot.stop_loading();
    for (auto& nest : nests) nest->abort();
}

port::Task<void> LotRun::State::run_nest(NestRun& nest) {
    std::exception_ptr thrown;
    try {
        co_await nest.run();
    } catch (...) {
        thrown = std::current_exception();
    }
    if (!thrown) co_return;
    bug = thrown;
    lot.end_by(bug_note(), nest.number());
    auto safe = co_await nest.make_safe();
    note_fault(safe);
}

port::Task<void> LotRun::State::run_nests() {
    const auto executor = co_await asio::this_coro::executor;
    asio::steady_timer ended(executor, asio::steady_timer::time_point::max());  // only cancelled
    for (const NestParts& parts : lot.parts.nests)
        if (lot.options.only_nest.value_or(parts.number) == parts.number)
            nests.push_back(std::make_unique<NestRun>(lot, parts));
    std::size_t running = nests.size();
    for (auto& nest : nests)
        asio::co_spawn(executor, run_nest(*nest), [&](std::exception_ptr thrown) {
            if (thrown) bug = thrown;
            --running;
            ended.cancel();
        });
    while (running > 0) {
        co_await ended.async_wait(asio::as_tuple(asio::use_awaitable));
        const auto cancellation = co_await asio::this_coro::cancellation_state;
        if (cancellation.cancelled() == asio::cancellation_type::none) continue;
        co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
        abort_all();
    }
}

// A lot that was stopped or broke off stays open, so that the next start goes on with it.
Act<void> LotRun::State::close_books() {
    if (!lot.trouble().empty() || lot.loading_stopped()) co_return port::Outcome<void>();
    const record::WallTime at = lot.parts.wall_clock->now();
    auto closed = co_await lot.records.keep(lot.parts.journal->close_lot(lot.id, at));
    co_return closed;
}

LotOutcome LotRun::State::outcome() const {
    LotOutcome outcome;
    outcome.count = lot.count;
    outcome.station_fault = !lot.trouble().empty();
    outcome.reason = "no more units";
    if (!lot.permit_ended().empty()) outcome.reason = lot.permit_ended();
    if (lot.loading_stopped()) outcome.reason = "stopped by the operator";
    if (outcome.station_fault) outcome.reason = lot.trouble();
    return outcome;
}

}  // namespace padtrim::engine
