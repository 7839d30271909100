// One HTTP/1.1 call to a station's daemon on this machine.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>

#include <boost/asio/awaitable.hpp>

#include "station/web/message.hpp"

namespace padtrim::web {

// Failure: one sentence. The call ends within `deadline`. `key`: the daemon's, where it keeps
// logins.
[[nodiscard]] boost::asio::awaitable<Attempt<Response>> call(std::uint16_t port, std::string method,
                                                             std::string target, std::string body,
                                                             std::chrono::milliseconds deadline,
                                                             std::string key = "");

}  // namespace padtrim::web
