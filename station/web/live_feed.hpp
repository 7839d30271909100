// The station's state for every page that watches it, as server-sent events (WHATWG HTML, 9.2): the
// whole state at once, then after each change, at most some thirty times a second, and a beat
// between, so that a page knows soon when the line is gone.
//
//   data: {...}            the state, one line of JSON
//   event: beat            nothing changed
//
// The state is rendered once for all readers. One thread; readers are coroutines of the given
// executor and own the feed while they read.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <set>
#include <string>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/steady_timer.hpp>

namespace padtrim::web {

struct LivePace {
    std::chrono::milliseconds gap{33};    // between two states to one reader
    std::chrono::milliseconds beat{600};  // pages say after 2 s that the line is lost
    // A state that nobody announced (a date that passed) is looked for that often.
    std::chrono::milliseconds fresh{3000};
    std::size_t readers = 64;
    // Of one login: so that nobody takes every other's place. More than a person has pages open.
    std::size_t of_one_login = 16;
};

class LiveFeed : public std::enable_shared_from_this<LiveFeed> {
  public:
    using Render = std::function<std::string()>;
    // Sends one piece; false when the reader is gone or too slow.
    using Write = std::function<boost::asio::awaitable<bool>(const std::string&)>;

    LiveFeed(boost::asio::any_io_executor executor, Render render, LivePace pace = {});

    // A place among the readers while it lives. `login` is "" where nobody has one: then only the
    // whole is bounded, since they are all people, and programs, of the station's own machine.
    class Seat {
      public:
        Seat(std::shared_ptr<LiveFeed> feed, std::string login);
        ~Seat();
        Seat(Seat&& other) noexcept = default;
        Seat& operator=(Seat&&) = delete;

      private:
        std::shared_ptr<LiveFeed> feed_;
        std::string login_;
    };

    void changed();
    [[nodiscard]] bool full() const { return readers_ >= pace_.readers; }
    [[nodiscard]] bool full_for(const std::string& login) const;
    [[nodiscard]] std::size_t readers() const { return readers_; }
    // Until the reader is gone or the feed closes.
    [[nodiscard]] static boost::asio::awaitable<void> serve(std::shared_ptr<LiveFeed> self,
                                                            Seat seat, Write write);
    void close();

  private:
    struct Reading;
    void render_again();
    [[nodiscard]] std::shared_ptr<const std::string> state();
    [[nodiscard]] boost::asio::awaitable<void> wait(boost::asio::steady_timer& timer,
                                                    std::chrono::milliseconds time);

    boost::asio::any_io_executor executor_;
    Render render_;
    LivePace pace_;
    std::uint64_t version_ = 1, rendered_ = 0;
    std::shared_ptr<const std::string> text_;
    boost::asio::steady_timer::time_point rendered_at_;
    std::set<boost::asio::steady_timer*> idle_;  // readers that have the newest state
    std::set<boost::asio::steady_timer*> all_;
    std::size_t readers_ = 0;
    std::map<std::string, std::size_t> of_login_;
    bool closed_ = false;
};

}  // namespace padtrim::web
