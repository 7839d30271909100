#include "station/engine/stack_light.hpp"

#include <algorithm>
#include <vector>

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

namespace padtrim::engine {

namespace asio = boost::asio;

namespace {

using namespace std::chrono_literals;
constexpr std::chrono::milliseconds next_glance = 100ms;  // while the buzzer sounds
constexpr std::chrono::milliseconds a_moment = 5ms;

}  // namespace

bool ConditionOfLot::take(const Event& event) {
    const LotCondition before = now();
    if (std::holds_alternative<LotOpened>(event)) {
        running_ = true;
        fault_ = false;
    }
    if (const auto* asked = std::get_if<PersonAsked>(&event)) asking_.insert(asked->nest);
    if (const auto* paused = std::get_if<NestPaused>(&event)) asking_.insert(paused->nest);
    if (const auto* resumed = std::get_if<NestResumed>(&event)) asking_.erase(resumed->nest);
    if (const auto* step = std::get_if<StepProgress>(&event)) asking_.erase(step->nest);
    if (const auto* done = std::get_if<UnitFinished>(&event)) asking_.erase(done->nest);
    if (const auto* fault = std::get_if<FaultSeen>(&event)) {
        fault_ |= fault->fault.blame == record::Blame::fixture;
        asking_.erase(fault->nest);
    }
    if (std::holds_alternative<LotClosed>(event)) {
        running_ = false;
        asking_.clear();
    }
    return now() != before;
}

Lamps lamps_of(const LotCondition& condition) {
    return {condition.running && !condition.fault, condition.person_needed, condition.fault};
}

bool calls(const Lamps& before, const Lamps& now) {
    return (now.yellow && !before.yellow) || (now.red && !before.red);
}

struct StackLightDriver::State {
    State(std::optional<language::StackLight> lamps, port::RelayBank& bank, port::Clock& time,
          Log to)
        : light(lamps), relays(bank), clock(time), log(std::move(to)) {}

    const std::optional<language::StackLight> light;
    port::RelayBank& relays;
    port::Clock& clock;
    Log log;
    LotCondition wanted;
    bool closed = false, told = false, sounding = false, resting = false, busy = false;
    Lamps shown;
    port::Instant silent_at{};
    asio::steady_timer* woken = nullptr;

    Act<void> set(std::vector<port::CoilState> coils) {
        if (coils.empty()) co_return port::Outcome<void>();
        auto done = co_await relays.set(coils);
        co_return done;
    }
    port::Task<void> follow() {
        const Lamps lamps = lamps_of(wanted);
        const bool begins = calls(shown, lamps) && light->buzzer_coil;
        if (begins) silent_at = clock.now() + light->buzzer_time;
        const bool sounds = begins || (sounding && clock.now() < silent_at);
        std::vector<port::CoilState> changes;
        const auto want = [&](const std::optional<std::uint16_t>& coil, bool is, bool shall) {
            if (coil && is != shall) changes.push_back({*coil, shall});
        };
        want(light->running_coil, shown.green, lamps.green);
        want(light->attention_coil, shown.yellow, lamps.yellow);
        want(light->fault_coil, shown.red, lamps.red);
        want(light->buzzer_coil, sounding, sounds);
        shown = lamps;
        sounding = sounds;
        auto set_now = co_await set(std::move(changes));
        if (set_now || told) co_return;
        told = true;
        if (log) log(LogLevel::warning, "The stack light does not follow: " + set_now.error().what);
    }
    [[nodiscard]] bool settled() const { return lamps_of(wanted) == shown && !sounding; }
};

StackLightDriver::StackLightDriver(const std::optional<language::StackLight>& light,
                                   port::RelayBank& relays, port::Clock& clock, Log log)
    : state_(std::make_unique<State>(light, relays, clock, std::move(log))) {}

StackLightDriver::~StackLightDriver() = default;

void StackLightDriver::show(const LotCondition& condition) {
    state_->wanted = condition;
    if (state_->woken != nullptr) state_->woken->cancel();
}

port::Task<void> StackLightDriver::rest() {
    state_->resting = true;
    while (state_->busy) co_await state_->clock.sleep_for(a_moment);
}

void StackLightDriver::all_went_out() {
    state_->shown = {};
    state_->sounding = state_->resting = false;
    if (state_->woken != nullptr) state_->woken->cancel();
}

void StackLightDriver::close() {
    state_->closed = true;
    if (state_->woken != nullptr) state_->woken->cancel();
}

port::Task<void> StackLightDriver::run() {
    State& state = *state_;
    if (!state.light) co_return;
    const auto executor = co_await asio::this_coro::executor;
    asio::steady_timer woken(executor, asio::steady_timer::time_point::max());  // only cancelled
    state.woken = &woken;
    while (true) {
        if (!state.resting) {
            state.busy = true;
            co_await state.follow();
            state.busy = false;
        }
        if (state.settled() && state.closed) break;
        const bool waits = state.resting || (!state.sounding && state.settled());
        boost::system::error_code ignored;
        if (waits)
            co_await woken.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        else if (state.sounding)
            co_await state.clock.sleep_for(next_glance);
    }
    state.woken = nullptr;
}

}  // namespace padtrim::engine
