// HTTP/1.1 on the loopback address only, for one station.
//
// Every connection is a coroutine on the given executor; a request is read whole, within limits
// and a deadline, and handed to the handler, which answers at once. Anything that is not a proper
// request is answered with an error and closed. Questions to the records are answered
// one after the other by a thread beside. An answer marked `live` turns its connection into a
// stream of the station's state. TLS is not needed: nothing leaves the machine.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>

#include <boost/asio/any_io_executor.hpp>

#include "station/web/live_feed.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

struct HttpLimits {
    std::size_t header_bytes = 8 * 1024;
    std::size_t body_bytes = 1024 * 1024;  // a plan's text is some tens of kilobytes
    std::size_t connections = 160;         // 50 pages watch, each may ask beside that
    std::size_t questions = 32;            // to the records, waiting
    std::chrono::seconds idle{30};         // for one request to come, or one answer to leave
    std::chrono::seconds slow{5};          // for one piece of a stream to leave
    LivePace live{};
};

using Handler = std::function<Response(const Request&)>;
using Live = LiveFeed::Render;  // the state as one line of JSON

class HttpServer {
  public:
    // Port 0 takes a free one. Failure: one sentence, the port is in use, say.
    [[nodiscard]] static Attempt<std::unique_ptr<HttpServer>> open(
        boost::asio::any_io_executor executor, std::uint16_t port, Handler handler,
        HttpLimits limits = {}, Live live = [] { return std::string("{}"); });
    // Whoever watches is sent the state anew.
    void changed();
    [[nodiscard]] std::size_t watching() const;
    ~HttpServer();  // closes everything
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    [[nodiscard]] std::uint16_t port() const;
    [[nodiscard]] std::string address() const;  // "http://127.0.0.1:8480"

  private:
    struct State;
    explicit HttpServer(std::shared_ptr<State> state);
    std::shared_ptr<State> state_;
};

}  // namespace padtrim::web
