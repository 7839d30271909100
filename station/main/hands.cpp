#include "station/main/hands.hpp"

#include <algorithm>

#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <unistd.h>

#include "station/main/typed_lines.hpp"

namespace padtrim {

namespace asio = boost::asio;

// The timer never runs out: cancelling it wakes the coroutine.
struct Hands::Waiting {
    Waiting(asio::any_io_executor executor, std::uint16_t where)
        : nest(where), woken(executor, asio::steady_timer::time_point::max()) {}
    std::uint16_t nest;
    asio::steady_timer woken;
    std::optional<std::string> label;
};

Hands::Hands(asio::any_io_executor executor) : executor_(std::move(executor)) {}
Hands::~Hands() = default;

asio::awaitable<std::optional<std::string>> Hands::ask(std::uint16_t nest) {
    if (closed_) co_return std::nullopt;
    Waiting waiting(executor_, nest);
    waiting_.push_back(&waiting);
    boost::system::error_code ignored;
    co_await waiting.woken.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    waiting_.remove(&waiting);
    co_return waiting.label;
}

bool Hands::load_next(const std::string& label) {
    for (Waiting* waiting : waiting_) {
        if (waiting->label) continue;
        waiting->label = label;
        waiting->woken.cancel();
        return true;
    }
    return false;
}

bool Hands::load(std::uint16_t nest, const std::string& label) {
    for (Waiting* waiting : waiting_) {
        if (waiting->nest != nest || waiting->label) continue;
        waiting->label = label;
        waiting->woken.cancel();
        return true;
    }
    return false;
}

void Hands::close() {
    closed_ = true;
    for (Waiting* waiting : waiting_) waiting->woken.cancel();
}

asio::awaitable<void> read_lines(int descriptor, Hands& hands, PersonAtHand& person) {
    const auto executor = co_await asio::this_coro::executor;
    asio::posix::stream_descriptor input(executor);
    boost::system::error_code error;
    input.assign(own_descriptor(descriptor), error);
    std::string buffer;
    while (!error) {
        const std::size_t length =
            co_await asio::async_read_until(input, asio::dynamic_buffer(buffer, 4096), '\n',
                                            asio::redirect_error(asio::use_awaitable, error));
        if (error) break;
        std::string line = buffer.substr(0, length);
        buffer.erase(0, length);
        line.erase(line.find_last_not_of(" \t\r\n") + 1);
        if (line == "q") break;
        if (!person.take_line(line)) hands.load_next(line);
    }
    if (error == asio::error::operation_aborted) co_return;
    hands.close();
    person.close();
}

}  // namespace padtrim
