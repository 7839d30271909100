#include "station/web/http_client.hpp"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http.hpp>

namespace padtrim::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using tcp = asio::ip::tcp;
constexpr auto answer_tuple = asio::as_tuple(asio::use_awaitable);

http::request<http::string_body> wired(std::uint16_t port, const std::string& method,
                                       const std::string& target, std::string body,
                                       const std::string& key) {
    http::request<http::string_body> request(http::string_to_verb(method), target, 11);
    request.set(http::field::host, "127.0.0.1:" + std::to_string(port));
    if (!body.empty()) request.set(http::field::content_type, "application/json");
    if (!key.empty()) request.set(http::field::authorization, "Bearer " + key);
    request.body() = std::move(body);
    request.keep_alive(false);
    request.prepare_payload();
    return request;
}

}  // namespace

asio::awaitable<Attempt<Response>> call(std::uint16_t port, std::string method, std::string target,
                                        std::string body, std::chrono::milliseconds deadline,
                                        std::string key) {
    const auto executor = co_await asio::this_coro::executor;
    beast::tcp_stream stream(executor);
    stream.expires_after(deadline);
    const std::string where = "the daemon on port " + std::to_string(port);
    const tcp::endpoint endpoint(asio::ip::address_v4::loopback(), port);
    const auto [no_connection] = co_await stream.async_connect(endpoint, answer_tuple);
    if (no_connection)
        co_return Failure{"Cannot reach " + where + ": " + no_connection.message() + "."};
    auto request = wired(port, method, target, std::move(body), key);
    const auto [not_sent, sent] = co_await http::async_write(stream, request, answer_tuple);
    if (not_sent) co_return Failure{"Cannot write to " + where + ": " + not_sent.message() + "."};
    beast::flat_buffer buffer;
    http::response_parser<http::string_body> parser;
    parser.body_limit(64 * 1024 * 1024);
    const auto [not_read, read] = co_await http::async_read(stream, buffer, parser, answer_tuple);
    if (not_read) co_return Failure{"No answer from " + where + ": " + not_read.message() + "."};
    co_return Response{parser.get().result_int(), parser.get().body(), ""};
}

}  // namespace padtrim::web
