// An HTTP request and its answer as plain values, so that routing is pure and only http_server.cpp
// and http_client.cpp know a socket.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>

#include <boost/system/result.hpp>

namespace padtrim::web {

struct Request {
    std::string method;  // "GET"
    std::string path;    // without the query
    std::string query;   // without the question mark
    std::string host;    // of the Host field
    std::string content_type;
    std::optional<std::string> origin;      // of the Origin field, when there is one
    std::optional<std::string> fetch_site;  // of Sec-Fetch-Site, which browsers send
    std::string body;
};

struct Response {
    unsigned status = 200;
    std::string body;   // JSON
    std::string allow;  // of a 405: the methods that would do
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
