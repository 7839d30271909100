// An HTTP request and its answer as plain values, so that routing is pure and only http_server.cpp
// and http_client.cpp know a socket.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include <boost/system/result.hpp>

#include "db/record/audit_entry.hpp"

namespace padtrim::web {

struct Request {
    std::string method;  // "GET"
    std::string path;    // without the query
    std::string query;   // without the question mark
    std::string host;    // of the Host field
    std::string content_type;
    std::optional<std::string> origin;                // of the Origin field, when there is one
    std::optional<std::string> fetch_site;            // of Sec-Fetch-Site, which browsers send
    std::string if_none_match{};                      // entity tags that the browser has
    std::string cookies{}, authorization{}, proof{};  // of Cookie, Authorization, X-Padtrim-Proof
    // Set by the server: where it came from and to which port, whether over TLS (so: perhaps from
    // another machine), and by which names this station is reached then.
    std::string address{};
    std::uint16_t port = 0;  // that this station answers on, without TLS
    bool secure = false;
    std::shared_ptr<const std::vector<std::string>> names{};
    // Set by the gate, never by a browser: who is logged in ("" when nobody has to be).
    std::string person{};
    bool may_draft = true;
    std::string body;
};

struct Response {
    unsigned status = 200;
    std::string body;   // JSON, or what content_type says
    std::string allow;  // of a 405: the methods that would do
    std::string content_type = "application/json";
    std::string etag{};    // of a page, which a browser may keep and ask for again
    std::string cookie{};  // of Set-Cookie
    std::string policy{};  // Content-Security-Policy; "" for the strictest
    // What may take long, done by a thread beside so that nothing waits for it: it may use nothing
    // of the station but what it holds. The rest of this answer counts for nothing.
    std::function<Response()> later{};
    bool act = false;     // of `later`: a login or a decision, which waits behind no question
    bool live = false;    // 200 without a body: the station's state follows until one side leaves
    std::string login{};  // of a live answer: whose it is; "" where nobody has one
    std::function<bool()> goes_on{};  // of a live answer: asked before each piece; none: always
    // For the audit: what a call knows better than the gate of before and after, as JSON; and what
    // is on the disk before the answer leaves.
    std::string before{}, after{};
    std::optional<record::AuditEntry> audit{};
};

// Why a socket did not do what was asked: one sentence.
struct Failure {
    std::string what;
};
template <class T>
using Attempt = boost::system::result<T, Failure>;

[[noreturn]] inline void throw_exception_from_error(const Failure& failure,
                                                    const boost::source_location&) {
    throw std::logic_error("failure taken for a value: " + failure.what);
}

}  // namespace padtrim::web
