// Lines that a person types, one after the other: each is told at once, and can be waited for.
//
// A descriptor's end, or close(), says that no more come. One thread, one waiting coroutine.
#pragma once

#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>

namespace padtrim {

// To be read without waiting, which would stay with the terminal if it were shared: a shell's next
// program would find it so.
[[nodiscard]] int own_descriptor(int descriptor);

class TypedLines {
  public:
    // `heard` is told of each line as it comes, before anybody gets it from next(); lines of which
    // it says true are taken, and next() does not give them.
    // `gone` is told when the descriptor ends by itself.
    TypedLines(boost::asio::any_io_executor executor, std::function<bool(const std::string&)> heard,
               std::function<void()> gone);
    // Reads until the descriptor's end or close(); a descriptor that is no terminal and no pipe has
    // ended already.
    [[nodiscard]] boost::asio::awaitable<void> read(int descriptor);
    // Without blanks at either end; nothing when no more come.
    [[nodiscard]] boost::asio::awaitable<std::optional<std::string>> next();
    void close();
    // Throws away what was typed and not yet given.
    void forget() { lines_.clear(); }

  private:
    std::function<bool(const std::string&)> heard_;
    std::function<void()> gone_;
    boost::asio::posix::stream_descriptor input_;
    std::shared_ptr<boost::asio::steady_timer>
        woken_;  // never runs out: cancelling it wakes next()
    std::deque<std::string> lines_;
    bool closed_ = false;
};

}  // namespace padtrim
