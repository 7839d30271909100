// Requests and answers between plain values and Beast's messages. Pure.
#pragma once

#include <optional>
#include <string>

#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>

#include "station/web/message.hpp"

namespace padtrim::web {

using WireRequest = boost::beast::http::request<boost::beast::http::string_body>;
using WireResponse = boost::beast::http::response<boost::beast::http::string_body>;

// `seen`: what is known of the connection that it came over.
[[nodiscard]] Request plain(const WireRequest& from, const Request& seen = {});
[[nodiscard]] WireResponse wired(Response from, unsigned version, bool keep_alive);
// What a request that could not be read is answered with; nothing when nobody listens any more.
[[nodiscard]] std::optional<Response> answer_to(const boost::system::error_code& error);
// The header of a stream of server-sent events that ends with its connection.
[[nodiscard]] std::string live_header();

}  // namespace padtrim::web
