#include "station/engine/turns.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>

namespace padtrim::engine {

namespace asio = boost::asio;

// Lives in the waiting coroutine; a granted turn that nobody takes up goes on from here.
struct Turns::Waiter {
    Waiter(Turns& all, const asio::any_io_executor& executor)
        : turns(all), timer(executor, asio::steady_timer::time_point::max()) {
        place = turns.queue_.insert(turns.queue_.end(), this);
    }
    ~Waiter() {
        if (!granted)
            turns.queue_.erase(place);
        else if (!taken_up)
            turns.pass_on();
    }
    Waiter(const Waiter&) = delete;
    Waiter& operator=(const Waiter&) = delete;

    Turns& turns;
    asio::steady_timer timer;  // never runs out; cancelled to wake
    std::list<Waiter*>::iterator place;
    bool granted = false, taken_up = false;
};

Turn& Turn::operator=(Turn&& other) noexcept {
    if (this != &other) {
        give_back();
        turns_ = std::exchange(other.turns_, nullptr);
    }
    return *this;
}

void Turn::give_back() noexcept {
    if (Turns* turns = std::exchange(turns_, nullptr)) turns->pass_on();
}

asio::awaitable<Turn> Turns::take() {
    if (!std::exchange(taken_, true)) co_return Turn(*this);
    const auto executor = co_await asio::this_coro::executor;
    Waiter waiter(*this, executor);
    boost::system::error_code woken;
    co_await waiter.timer.async_wait(asio::redirect_error(asio::use_awaitable, woken));
    if (!waiter.granted) throw boost::system::system_error(asio::error::operation_aborted);
    waiter.taken_up = true;
    co_return Turn(*this);
}

void Turns::pass_on() noexcept {
    if (queue_.empty()) {
        taken_ = false;
        return;
    }
    Waiter* first = queue_.front();
    queue_.pop_front();
    first->granted = true;
    first->timer.cancel();
}

}  // namespace padtrim::engine
