#include "station/engine/rest_watch.hpp"

#include <exception>
#include <utility>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/system/system_error.hpp>

namespace padtrim::engine {

namespace asio = boost::asio;
using port::FaultKind;
using port::Outcome;
using port::Task;

// Kept by the looks as well, which end a turn after end().
struct RestWatch::State {
    State(asio::any_io_executor on, port::Clock& of, OpenRestLook how,
          std::chrono::nanoseconds late, std::function<void()> tell)
        : executor(std::move(on)),
          clock(of),
          open(std::move(how)),
          owed(late),
          changed(std::move(tell)) {}

    [[nodiscard]] bool wanted() const { return !ended && clock.now() < wanted_until; }
    void take(const Outcome<AtRest>& came);
    void find(RestFinding now);
    [[nodiscard]] Task<void> one_look();

    const asio::any_io_executor executor;
    port::Clock& clock;
    const OpenRestLook open;
    const std::chrono::nanoseconds owed;
    const std::function<void()> changed;
    RestFinding found;
    port::Instant wanted_until{}, quiet_until{};
    RestLook* under_way = nullptr;
    bool runs = false, resting = false, failed_before = false, ended = false;
    asio::cancellation_signal ending;
};

void RestWatch::State::find(RestFinding now) {
    if (now == found) return;
    found = std::move(now);
    changed();
}

// One lost answer is no news; another fixture than the profile's is, at once.
void RestWatch::State::take(const Outcome<AtRest>& came) {
    if (came) {
        failed_before = false;
        find({*came, ""});
        return;
    }
    if (came.error().kind == FaultKind::cancelled) return;
    const bool tell = failed_before || came.error().kind == FaultKind::wrong_device;
    failed_before = true;
    if (tell) find({AtRest::clear, came.error().what});
}

Task<void> RestWatch::State::one_look() {
    auto opened = open();
    if (!opened) {
        take(opened.error());
        co_return;
    }
    under_way = opened->get();
    auto came = co_await under_way->look();
    if (under_way == nullptr) co_return;  // it gave way
    under_way = nullptr;
    opened->reset();
    if (!came) quiet_until = clock.now() + owed;
    take(came);
}

RestWatch::RestWatch(asio::any_io_executor executor, port::Clock& clock, OpenRestLook open,
                     std::chrono::nanoseconds owed, std::function<void()> changed)
    : state_(std::make_shared<State>(std::move(executor), clock, std::move(open), owed,
                                     std::move(changed))) {}

RestWatch::~RestWatch() {
    end();
}

void RestWatch::watched() const {
    if (!state_->open || state_->ended) return;
    state_->wanted_until = state_->clock.now() + attention;
    state_->resting = true;
    if (state_->runs) return;
    state_->runs = true;
    asio::co_spawn(state_->executor, look_on(state_),
                   asio::bind_cancellation_slot(state_->ending.slot(), [](std::exception_ptr bug) {
                       if (bug) std::rethrow_exception(bug);
                   }));
}

// What was found is old when nobody has watched for a while.
Task<void> RestWatch::look_on(std::shared_ptr<State> state) {
    try {
        while (state->wanted()) {
            if (state->resting) co_await state->one_look();
            if (state->wanted()) co_await state->clock.sleep_for(pace);
        }
    } catch (const boost::system::system_error&) {
        if (!state->ended) throw;
    }
    state->runs = state->failed_before = false;
    state->found = {};
}

const RestFinding& RestWatch::found() const {
    return state_->found;
}

void RestWatch::give_way() const {
    state_->resting = false;
    if (state_->under_way == nullptr) return;
    std::exchange(state_->under_way, nullptr)->let_go();
    state_->quiet_until = state_->clock.now() + state_->owed;
}

Task<void> RestWatch::settled() const {
    const auto state = state_;
    if (state->clock.now() < state->quiet_until)
        co_await state->clock.sleep_until(state->quiet_until);
}

void RestWatch::end() const {
    state_->ended = true;
    give_way();
    state_->ending.emit(asio::cancellation_type::terminal);
}

}  // namespace padtrim::engine
