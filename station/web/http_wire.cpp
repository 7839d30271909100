#include "station/web/http_wire.hpp"

#include <boost/beast/http.hpp>

#include "station/web/loopback_guard.hpp"

namespace padtrim::web {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;

std::optional<std::string> field(const WireRequest& from, beast::string_view name) {
    const auto at = from.find(name);
    if (at == from.end()) return std::nullopt;
    return std::string(at->value());
}

constexpr const char* strictest = "default-src 'none'; frame-ancestors 'none'";

}  // namespace

Request plain(const WireRequest& from, const Request& seen) {
    Request request = seen;
    request.method = std::string(from.method_string());
    const std::string target(from.target());
    const auto question = target.find('?');
    request.path = target.substr(0, question);
    if (question != std::string::npos) request.query = target.substr(question + 1);
    request.host = field(from, "Host").value_or("");
    request.content_type = field(from, "Content-Type").value_or("");
    request.origin = field(from, "Origin");
    request.fetch_site = field(from, "Sec-Fetch-Site");
    request.if_none_match = field(from, "If-None-Match").value_or("");
    request.cookies = field(from, "Cookie").value_or("");
    request.authorization = field(from, "Authorization").value_or("");
    request.proof = field(from, "X-Padtrim-Proof").value_or("");
    request.body = from.body();
    return request;
}

WireResponse wired(Response from, unsigned version, bool keep_alive) {
    WireResponse response(http::int_to_status(from.status), version);
    response.set(http::field::content_type, from.content_type);
    // A page may be kept, and is asked for again each time.
    response.set(http::field::cache_control, from.etag.empty() ? "no-store" : "no-cache");
    if (!from.etag.empty()) response.set(http::field::etag, from.etag);
    if (!from.cookie.empty()) response.set(http::field::set_cookie, from.cookie);
    response.set("X-Content-Type-Options", "nosniff");
    response.set("Referrer-Policy", "no-referrer");
    response.set("Cross-Origin-Resource-Policy", "same-origin");
    response.set("Content-Security-Policy", from.policy.empty() ? strictest : from.policy);
    if (!from.allow.empty()) response.set(http::field::allow, from.allow);
    response.body() = std::move(from.body);
    if (from.content_type == "application/json") response.body() += '\n';
    response.keep_alive(keep_alive);
    response.prepare_payload();
    return response;
}

std::optional<Response> answer_to(const boost::system::error_code& error) {
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

std::string live_header() {
    return "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\n"
           "X-Content-Type-Options: nosniff\r\nReferrer-Policy: no-referrer\r\n"
           "Cross-Origin-Resource-Policy: same-origin\r\nContent-Security-Policy: " +
           std::string(strictest) + "\r\nConnection: close\r\n\r\n";
}

}  // namespace padtrim::web
