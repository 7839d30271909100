#include "station/web/http_server.hpp"

#include <set>

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>

#include "station/web/loopback_guard.hpp"

namespace padtrim::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using tcp = asio::ip::tcp;
constexpr auto use_tuple = asio::as_tuple(asio::use_awaitable);

std::optional<std::string> field(const http::request<http::string_body>& from,
                                 beast::string_view name) {
    const auto at = from.find(name);
    if (at == from.end()) return std::nullopt;
    return std::string(at->value());
}

Request plain(const http::request<http::string_body>& from) {
    Request request;
    request.method = std::string(from.method_string());
    const std::string target(from.target());
    const auto question = target.find('?');
    request.path = target.substr(0, question);
    if (question != std::string::npos) request.query = target.substr(question + 1);
    request.host = field(from, "Host").value_or("");
    request.content_type = field(from, "Content-Type").value_or("");
    request.origin = field(from, "Origin");
    request.fetch_site = field(from, "Sec-Fetch-Site");
    request.body = from.body();
    return request;
}

http::response<http::string_body> wired(const Response& from, unsigned version, bool keep_alive) {
    http::response<http::string_body> response(http::int_to_status(from.status), version);
    response.set(http::field::content_type, "application/json");
    response.set(http::field::cache_control, "no-store");
    response.set("X-Content-Type-Options", "nosniff");
    response.set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'");
    if (!from.allow.empty()) response.set(http::field::allow, from.allow);
    response.body() = from.body + "\n";
    response.keep_alive(keep_alive);
    response.prepare_payload();
    return response;
}

std::optional<Response> answer_to(const beast::error_code& error) {
    if (error == http::error::body_limit) {
        return problem(413, "The body is too long.", "Send less than a megabyte.");
    }
    if (error == http::error::header_limit) {
        return problem(431, "The header is too long.", "Send less than eight kilobytes.");
    }
    if (error.category() == http::make_error_code(http::error::bad_method).category() &&
        error != http::error::end_of_stream && error != http::error::partial_message) {
        return problem(400, "That is not an HTTP/1.1 request.", "docs/commands.md shows examples.");
    }
    return std::nullopt;
}

}  // namespace

struct HttpServer::State {
    State(asio::any_io_executor executor, Handler answer, HttpLimits bounds)
        : acceptor(executor), handler(std::move(answer)), limits(bounds) {}

    tcp::acceptor acceptor;
    Handler handler;
    HttpLimits limits;
    std::set<beast::tcp_stream*> open;
    std::uint16_t port = 0;
    bool closed = false;

    void close() {
        closed = true;
        beast::error_code ignored;
        acceptor.close(ignored);
        for (auto* stream : open) stream->cancel();
    }

    asio::awaitable<void> send(beast::tcp_stream& stream, Response response, unsigned version,
                               bool keep_alive) {
        auto wire = wired(response, version, keep_alive);
        stream.expires_after(limits.idle);
        co_await http::async_write(stream, wire, use_tuple);
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
        const Response response = handler(request);
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
                                                      HttpLimits limits) {
    auto state = std::make_shared<State>(executor, std::move(handler), limits);
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

std::uint16_t HttpServer::port() const {
    return state_->port;
}

std::string HttpServer::address() const {
    return "http://127.0.0.1:" + std::to_string(state_->port);
}

}  // namespace padtrim::web
