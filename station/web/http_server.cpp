#include "station/web/http_server.hpp"

#include <set>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>

#include "station/web/http_wire.hpp"
#include "station/web/loopback_guard.hpp"

namespace padtrim::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using tcp = asio::ip::tcp;
constexpr auto use_tuple = asio::as_tuple(asio::use_awaitable);

}  // namespace

struct HttpServer::State {
    State(asio::any_io_executor executor, Handler answer, HttpLimits bounds, Live live)
        : acceptor(executor),
          handler(std::move(answer)),
          limits(bounds),
          feed(std::make_shared<LiveFeed>(executor, std::move(live), bounds.live)) {}

    tcp::acceptor acceptor;
    Handler handler;
    HttpLimits limits;
    std::shared_ptr<LiveFeed> feed;
    asio::thread_pool threads{1};  // that reads records
    std::size_t asked = 0;
    std::set<beast::tcp_stream*> open;
    std::uint16_t port = 0;
    bool closed = false;

    void close() {
        closed = true;
        beast::error_code ignored;
        acceptor.close(ignored);
        feed->close();
        for (auto* stream : open) stream->cancel();
    }

    asio::awaitable<void> send(beast::tcp_stream& stream, Response response, unsigned version,
                               bool keep_alive) {
        auto wire = wired(response, version, keep_alive);
        stream.expires_after(limits.idle);
        co_await http::async_write(stream, wire, use_tuple);
    }

    asio::awaitable<Response> answer_later(std::function<Response()> work) {
        if (asked >= limits.questions)
            co_return problem(503, "Too many questions at once.", "Ask again in a moment.");
        ++asked;
        auto answering = [](std::function<Response()> question) -> asio::awaitable<Response> {
            try {
                co_return question();
            } catch (const std::exception& bug) {
                co_return problem(500, "padtrim could not answer: " + std::string(bug.what()), "");
            }
        };
        Response answer =
            co_await asio::co_spawn(threads, answering(std::move(work)), asio::use_awaitable);
        --asked;
        co_return answer;
    }

    // A reader that does not take a piece in time is dropped; its page comes again by itself.
    asio::awaitable<void> stream_to(beast::tcp_stream& stream) {
        const auto write = [this, &stream](const std::string& piece) -> asio::awaitable<bool> {
            return put(stream, piece);
        };
        const std::string header = live_header();
        const bool there = co_await put(stream, header);
        if (there) co_await LiveFeed::serve(feed, write);
    }
    asio::awaitable<bool> put(beast::tcp_stream& stream, const std::string& piece) const {
        stream.expires_after(limits.slow);
        const auto [error, bytes] =
            co_await asio::async_write(stream, asio::buffer(piece), use_tuple);
        co_return !error && !closed;
    }

    // True while another request may follow on this connection.
    asio::awaitable<bool> exchange(beast::tcp_stream& stream, beast::flat_buffer& buffer) {
        http::request_parser<http::string_body> parser;
        parser.header_limit(static_cast<std::uint32_t>(limits.header_bytes));
        parser.body_limit(limits.body_bytes);
        stream.expires_after(limits.idle);
        const auto [error, bytes] = co_await http::async_read(stream, buffer, parser, use_tuple);
        if (error) {
            if (auto refused = answer_to(error)) co_await send(stream, *refused, 11, false);
            co_return false;
        }
        const bool keep_alive = parser.get().keep_alive();
        const Request request = plain(parser.get());
        Response response = handler(request);
        if (response.later) response = co_await answer_later(std::move(response.later));
        if (response.live && feed->full())
            response = problem(503, "Too many pages watch this station.", "Close some of them.");
        if (response.live) {
            co_await stream_to(stream);
            co_return false;
        }
        co_await send(stream, response, parser.get().version(), keep_alive);
        co_return keep_alive;
    }

    // A coroutine begins when the executor comes to it, the server may be gone by then: the two
    // that are spawned own their state by a parameter.
    static asio::awaitable<void> serve(std::shared_ptr<State> self, tcp::socket socket) {
        beast::tcp_stream stream(std::move(socket));
        self->open.insert(&stream);
        beast::flat_buffer buffer(self->limits.header_bytes + self->limits.body_bytes);
        bool more = true;
        while (more && !self->closed) more = co_await self->exchange(stream, buffer);
        self->open.erase(&stream);
        beast::error_code ignored;
        stream.socket().shutdown(tcp::socket::shutdown_send, ignored);
    }

    static asio::awaitable<void> accept(std::shared_ptr<State> self) {
        while (!self->closed) {
            auto [error, socket] = co_await self->acceptor.async_accept(use_tuple);
            if (error == asio::error::operation_aborted) break;
            if (error || self->open.size() >= self->limits.connections) continue;
            asio::co_spawn(self->acceptor.get_executor(), serve(self, std::move(socket)),
                           asio::detached);
        }
    }
};

HttpServer::HttpServer(std::shared_ptr<State> state) : state_(std::move(state)) {}

HttpServer::~HttpServer() {
    state_->close();
}

Attempt<std::unique_ptr<HttpServer>> HttpServer::open(asio::any_io_executor executor,
                                                      std::uint16_t port, Handler handler,
                                                      HttpLimits limits, Live live) {
    auto state = std::make_shared<State>(executor, std::move(handler), limits, std::move(live));
    const tcp::endpoint endpoint(asio::ip::address_v4::loopback(), port);
    beast::error_code error;
    state->acceptor.open(endpoint.protocol(), error);
    if (!error) state->acceptor.set_option(asio::socket_base::reuse_address(true), error);
    if (!error) state->acceptor.bind(endpoint, error);
    if (!error) state->acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error) {
        return Failure{"The station cannot answer on 127.0.0.1 port " + std::to_string(port) +
                       " (" + error.message() +
                       "). Choose another with --listen, or 0 for a free one."};
    }
    state->port = state->acceptor.local_endpoint().port();
    asio::co_spawn(executor, State::accept(state), asio::detached);
    return std::unique_ptr<HttpServer>(new HttpServer(std::move(state)));
}

void HttpServer::changed() {
    state_->feed->changed();
}

std::size_t HttpServer::watching() const {
    return state_->feed->readers();
}

std::uint16_t HttpServer::port() const {
    return state_->port;
}

std::string HttpServer::address() const {
    return "http://127.0.0.1:" + std::to_string(state_->port);
}

}  // namespace padtrim::web
