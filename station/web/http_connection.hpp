// One connection of the server, plain or over TLS: its requests one after the other, or a stream.
// Included by http_server.cpp alone, since it brings Beast with it.
//
//   wait for a request --first byte--> read it --> answer --keep alive--> wait ...
//                                                    \--live--> stream until one side leaves
//
// While one of its exchanges goes on, a connection stands in the line of those that may be let go.
#pragma once

#include <atomic>
#include <list>
#include <set>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/stream_traits.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>

#include "station/web/http_server.hpp"
#include "station/web/http_wire.hpp"
#include "station/web/loopback_guard.hpp"

namespace padtrim::web {

constexpr auto as_outcome = boost::asio::as_tuple(boost::asio::use_awaitable);

// What all connections of a server have in common.
struct SharedByConnections {
    SharedByConnections(boost::asio::any_io_executor executor, Handler answer, HttpLimits bounds,
                        Live live, Keep audit)
        : handler(std::move(answer)),
          keep(std::move(audit)),
          limits(bounds),
          questions(bounds.questions),
          acts(bounds.acts),
          feed(std::make_shared<LiveFeed>(std::move(executor), std::move(live), bounds.live)) {}

    using Stream = boost::beast::tcp_stream;
    // Stands in line while an exchange goes on; `line` is in the order in which they began.
    class InLine {
      public:
        InLine(std::list<Stream*>& line, Stream& stream)
            : line_(line), place_(line.insert(line.end(), &stream)) {}
        ~InLine() { line_.erase(place_); }
        InLine(const InLine&) = delete;
        InLine& operator=(const InLine&) = delete;

      private:
        std::list<Stream*>& line_;
        std::list<Stream*>::iterator place_;
    };
    // The connection that has been in line longest ends; false when there is none. It leaves one
    // turn later, and stands last until then.
    bool let_one_go() {
        if (line.empty()) return false;
        line.splice(line.end(), line, line.begin());
        ++traffic.gave_way;
        line.back()->cancel();
        return true;
    }
    // Work that waits its turn, one after the other on a thread of its own.
    struct Queue {
        explicit Queue(std::size_t room) : most(room) {}
        std::size_t most, waiting = 0;
        boost::asio::thread_pool thread{1};
    };
    boost::asio::awaitable<Response> answer_later(Queue& queue, std::function<Response()> work) {
        if (closed) co_return going_away();
        if (queue.waiting >= queue.most)
            co_return problem(503, "Too many questions at once.", "Ask again in a moment.");
        ++queue.waiting;
        auto answering = [](std::function<Response()> question,
                            const std::atomic<bool>& gone) -> boost::asio::awaitable<Response> {
            if (gone) co_return going_away();
            try {
                co_return question();
            } catch (const std::exception& bug) {
                co_return problem(500, "padtrim could not answer: " + std::string(bug.what()), "");
            }
        };
        Response answer = co_await boost::asio::co_spawn(
            queue.thread, answering(std::move(work), closed), boost::asio::use_awaitable);
        --queue.waiting;
        co_return answer;
    }
    static Response going_away() {
        return problem(503, "The station is leaving.", "Ask again when it is back.");
    }
    // The whole answer to a request: from the records when it is asked of them, its entry of the
    // audit on the disk.
    boost::asio::awaitable<Response> answer_to(const Request& request) {
        Response response = handler(request);
        if (response.later) {
            Queue& queue = response.act ? acts : questions;
            response = co_await answer_later(queue, std::move(response.later));
        }
        if (response.audit && keep) {
            record::AuditEntry entry = std::move(*response.audit);
            co_await keep(std::move(entry));
        }
        if (response.live && feed->full())
            response = problem(503, "Too many pages watch this station.", "Close some of them.");
        else if (response.live && feed->full_for(response.login))
            response = problem(429, "Too many pages of this login watch the station.",
                               "Close some of them.");
        ++traffic.answers.at(response.status / 100 % traffic.answers.size());
        co_return response;
    }

    Handler handler;
    Keep keep;
    HttpLimits limits;
    Queue questions, acts;
    std::shared_ptr<LiveFeed> feed;
    std::set<Stream*> open;
    std::list<Stream*> line;
    Traffic traffic;
    std::atomic<bool> closed = false;
};

// `Stream`: beast::tcp_stream, or asio::ssl::stream over one.
template <class Stream>
class Connection {
  public:
    Connection(SharedByConnections& shared, Stream& stream, Request seen)
        : shared_(shared),
          stream_(stream),
          socket_(boost::beast::get_lowest_layer(stream)),
          seen_(std::move(seen)),
          buffer_(shared.limits.header_bytes + shared.limits.body_bytes) {}

    boost::asio::awaitable<void> serve() {
        bool more = true;
        while (more && !shared_.closed) more = co_await exchange();
    }

  private:
    template <class T>
    using Task = boost::asio::awaitable<T>;
    using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;

    // True while another request may follow.
    Task<bool> exchange() {
        Parser parser;
        Response response;
        {
            const SharedByConnections::InLine waiting(shared_.line, socket_);
            const auto wrong = co_await read(parser);
            if (wrong) {
                if (auto refused = answer_to(wrong)) {
                    ++shared_.traffic.answers[4];
                    co_await send(std::move(*refused), 11, false);
                }
                co_return false;
            }
            if (shared_.closed) co_return false;
            const Request request = plain(parser.get(), seen_);
            response = co_await shared_.answer_to(request);
            if (!response.live) {
                const bool keep_alive = parser.get().keep_alive();
                const unsigned version = parser.get().version();
                const bool sent = co_await send(std::move(response), version, keep_alive);
                co_return sent&& keep_alive;
            }
        }
        co_await stream_state(std::move(response));
        co_return false;
    }

    // It may be long until a request begins, but then it has to come.
    Task<boost::system::error_code> read(Parser& parser) {
        parser.header_limit(static_cast<std::uint32_t>(shared_.limits.header_bytes));
        parser.body_limit(shared_.limits.body_bytes);
        if (buffer_.size() == 0) {
            socket_.expires_after(shared_.limits.idle);
            const auto [nothing, bytes] =
                co_await stream_.async_read_some(buffer_.prepare(first_bytes), as_outcome);
            if (nothing) co_return nothing;
            buffer_.commit(bytes);
        }
        // Most requests are whole by now and need no further waiting.
        boost::beast::error_code error;
        parser.eager(true);
        for (std::size_t used = 1; used > 0 && !error && !parser.is_done();) {
            used = buffer_.size() > 0 ? parser.put(buffer_.data(), error) : 0;
            buffer_.consume(used);
        }
        if (parser.is_done() || (error && error != boost::beast::http::error::need_more))
            co_return error;
        socket_.expires_after(shared_.limits.whole);
        const auto [broken, bytes] =
            co_await boost::beast::http::async_read(stream_, buffer_, parser, as_outcome);
        co_return broken;
    }

    Task<bool> send(Response response, unsigned version, bool keep_alive) {
        auto wire = wired(std::move(response), version, keep_alive);
        socket_.expires_after(shared_.limits.idle);
        const auto [error, bytes] =
            co_await boost::beast::http::async_write(stream_, wire, as_outcome);
        co_return !error;
    }

    // A reader that does not take a piece in time is dropped; its page comes again by itself.
    Task<void> stream_state(Response response) {
        // Taken before anything is awaited, so that no other request is let in meanwhile.
        LiveFeed::Seat seat(shared_.feed, std::move(response.login));
        const auto goes_on = std::move(response.goes_on);
        const std::string header = live_header();
        const bool there = co_await put(header);
        if (!there) co_return;
        const auto write = [this, &goes_on](const std::string& piece) -> Task<bool> {
            if (goes_on && !goes_on()) co_return false;
            const bool taken = co_await put(piece);
            co_return taken;
        };
        co_await LiveFeed::serve(shared_.feed, std::move(seat), write);
    }
    Task<bool> put(const std::string& piece) {
        socket_.expires_after(shared_.limits.slow);
        const auto [error, bytes] =
            co_await boost::asio::async_write(stream_, boost::asio::buffer(piece), as_outcome);
        co_return !error && !shared_.closed;
    }

    static constexpr std::size_t first_bytes = 1024;
    SharedByConnections& shared_;
    Stream& stream_;
    boost::beast::tcp_stream& socket_;
    const Request seen_;  // what the connection says of all its requests
    boost::beast::flat_buffer buffer_;
};

}  // namespace padtrim::web
