// HTTP/1.1 for one station: on the loopback address always, and over TLS where other machines shall
// reach it.
//
// Every connection is a coroutine on the given executor; a request is read whole, within limits
// and a deadline, and handed to the handler, which answers at once. Anything that is not a proper
// request is answered with an error and closed. When too many connections are open, the one that
// has kept the station waiting longest gives way. Questions to the records are answered one after
// the other by a thread beside, logins and decisions by another, so that they wait behind no long
// question. What an answer has for the audit is kept before it leaves. An answer marked `live`
// turns its connection into a stream of the station's state.
#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include "station/web/live_feed.hpp"
#include "station/web/message.hpp"
#include "station/web/tls_identity.hpp"

namespace padtrim::web {

struct HttpLimits {
    std::size_t header_bytes = 8 * 1024;
    std::size_t body_bytes = 1024 * 1024;  // a plan's text is some tens of kilobytes
    std::size_t connections = 160;         // 50 pages watch, each may ask beside that
    std::size_t questions = 32;            // to the records, waiting
    std::size_t acts = 32;                 // logins and decisions, waiting
    std::chrono::seconds idle{30};         // for a request to begin, or an answer to leave
    std::chrono::seconds whole{10};        // for the rest of a request, or for TLS to agree
    std::chrono::seconds slow{5};          // for one piece of a stream to leave
    LivePace live{};
};

using Handler = std::function<Response(const Request&)>;
using Live = LiveFeed::Render;  // the state as one line of JSON
// Puts an entry of the audit on the disk.
using Keep = std::function<boost::asio::awaitable<void>(record::AuditEntry)>;

// Since the server began.
struct Traffic {
    std::array<std::uint64_t, 6> answers{};  // by the first digit of the status
    std::uint64_t connections = 0;
    std::uint64_t gave_way = 0;  // let go, since too many were open
    std::size_t open = 0, watching = 0;
};

class HttpServer {
  public:
    // Port 0 takes a free one. Failure: one sentence, the port is in use, say.
    [[nodiscard]] static Attempt<std::unique_ptr<HttpServer>> open(
        boost::asio::any_io_executor executor, std::uint16_t port, Handler handler,
        HttpLimits limits = {}, Live live = [] { return std::string("{}"); }, Keep keep = {});
    // Answers at this address ("192.0.2.7:8443", "[::]:8443") too, over TLS.
    [[nodiscard]] Attempt<void> open_secure(const std::string& address, TlsIdentity identity);
    // Whoever watches is sent the state anew.
    void changed();
    [[nodiscard]] std::size_t watching() const;
    [[nodiscard]] Traffic traffic() const;
    // Closes everything, and waits for the question and the act that are being answered: once it is
    // gone, nothing uses what the handler's answers hold. Those that wait are not begun.
    ~HttpServer();
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    [[nodiscard]] std::uint16_t port() const;
    [[nodiscard]] std::string address() const;  // "http://127.0.0.1:8480"
    [[nodiscard]] std::optional<record::WallTime> certificate_ends() const;
    [[nodiscard]] std::string secure_address() const;  // "https://line-3.example:8443", or ""

  private:
    struct State;
    explicit HttpServer(std::shared_ptr<State> state);
    std::shared_ptr<State> state_;
};

}  // namespace padtrim::web
