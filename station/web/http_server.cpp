#include "station/web/http_server.hpp"

#include <algorithm>

#include <boost/asio/detached.hpp>
#include <boost/asio/ip/host_name.hpp>
#include <boost/asio/steady_timer.hpp>

#include "station/web/http_connection.hpp"
#include "station/web/sessions.hpp"

namespace padtrim::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
using tcp = asio::ip::tcp;
using namespace std::chrono_literals;

// When no connection can be taken (descriptors are used up, say) some have to end first.
constexpr auto breath = 100ms;
// So many may be leaving while others come.
constexpr std::size_t leaving = 32;

struct Endpoint {
    asio::ip::address address;
    std::uint16_t port = 0;
};

// "192.0.2.7:8443" or "[2001:db8::7]:8443".
std::optional<Endpoint> endpoint_in(const std::string& text) {
    const auto colon = text.rfind(':');
    if (colon == std::string::npos) return std::nullopt;
    std::string host = text.substr(0, colon);
    const std::string digits = text.substr(colon + 1);
    const bool bracketed = host.size() > 2 && host.front() == '[' && host.back() == ']';
    if (bracketed) host = host.substr(1, host.size() - 2);
    const bool number = !digits.empty() && digits.size() <= 5 &&
                        digits.find_first_not_of("0123456789") == std::string::npos;
    boost::system::error_code wrong;
    const auto address = asio::ip::make_address(host, wrong);
    if (wrong || address.is_v6() != bracketed || !number || std::stoul(digits) > 65535)
        return std::nullopt;
    return Endpoint{address, static_cast<std::uint16_t>(std::stoul(digits))};
}

// A name under which people reach the station: of the certificate; where that has only whole
// domains
// ("*.example"), what fits them of the address given and this machine's own name.
std::string name_to_tell(const std::vector<std::string>& names, const Endpoint& at) {
    const auto plain = std::find_if(names.begin(), names.end(), [](const std::string& name) {
        return name.substr(0, 2) != "*.";
    });
    if (plain != names.end()) return *plain;
    boost::system::error_code unknown;
    const std::string own = asio::ip::host_name(unknown);
    if (!unknown && is_own(own, names)) return own;
    if (at.address.is_unspecified()) return own_address;
    const std::string given = at.address.to_string();
    return at.address.is_v6() ? "[" + given + "]" : given;
}

boost::system::error_code listen(tcp::acceptor& acceptor, const Endpoint& at) {
    boost::system::error_code error;
    const tcp::endpoint endpoint(at.address, at.port);
    acceptor.open(endpoint.protocol(), error);
    if (!error) acceptor.set_option(asio::socket_base::reuse_address(true), error);
    if (!error) acceptor.bind(endpoint, error);
    if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
    return error;
}

}  // namespace

struct HttpServer::State : SharedByConnections {
    State(asio::any_io_executor executor, Handler answer, HttpLimits bounds, Live live, Keep audit)
        : SharedByConnections(executor, std::move(answer), bounds, std::move(live),
                              std::move(audit)),
          plain(executor),
          secure(executor) {}

    tcp::acceptor plain, secure;
    std::uint16_t port = 0;
    std::string secure_name;
    TlsIdentity identity;
    std::shared_ptr<const std::vector<std::string>> names;

    void close() {
        closed = true;
        beast::error_code ignored;
        plain.close(ignored);
        secure.close(ignored);
        feed->close();
        for (auto* stream : open) stream->cancel();
        questions.thread.join();
        acts.thread.join();
    }

    // Counts as open while it lives.
    struct Opened {
        Opened(State& of, beast::tcp_stream& which) : state(of), stream(which) {
            state.open.insert(&stream);
            ++state.traffic.connections;
        }
        ~Opened() { state.open.erase(&stream); }
        Opened(const Opened&) = delete;
        Opened& operator=(const Opened&) = delete;
        State& state;
        beast::tcp_stream& stream;
    };

    static std::string address_of(const tcp::socket& socket) {
        boost::system::error_code gone;
        const auto other = socket.remote_endpoint(gone);
        return gone ? "" : other.address().to_string();
    }

    // A coroutine begins when the executor comes to it, the server may be gone by then: those that
    // are spawned own their state by a parameter.
    static asio::awaitable<void> serve(std::shared_ptr<State> self, tcp::socket socket) {
        Request seen;
        seen.address = address_of(socket);
        seen.port = self->port;
        beast::tcp_stream stream(std::move(socket));
        const Opened opened(*self, stream);
        Connection<beast::tcp_stream> connection(*self, stream, std::move(seen));
        co_await connection.serve();
        beast::error_code ignored;
        stream.socket().shutdown(tcp::socket::shutdown_send, ignored);
    }

    static asio::awaitable<void> serve_secure(std::shared_ptr<State> self, tcp::socket socket) {
        Request seen;
        seen.address = address_of(socket);
        seen.port = self->port;
        seen.secure = true;
        seen.names = self->names;
        using Secure = asio::ssl::stream<beast::tcp_stream>;
        Secure stream(beast::tcp_stream(std::move(socket)), *self->identity.context);
        auto& lowest = stream.next_layer();
        const Opened opened(*self, lowest);
        const bool agreed = co_await self->agree(stream);
        if (!agreed) co_return;
        Connection<Secure> connection(*self, stream, std::move(seen));
        co_await connection.serve();
        lowest.expires_after(self->limits.slow);
        co_await stream.async_shutdown(as_outcome);
    }

    asio::awaitable<bool> agree(asio::ssl::stream<beast::tcp_stream>& stream) {
        const InLine waiting(line, stream.next_layer());
        stream.next_layer().expires_after(limits.whole);
        const auto [error] =
            co_await stream.async_handshake(asio::ssl::stream_base::server, as_outcome);
        co_return !error && !closed;
    }

    [[nodiscard]] bool has_room() {
        if (open.size() < limits.connections) return true;
        return let_one_go() && open.size() < limits.connections + leaving;
    }

    using Serve = asio::awaitable<void> (*)(std::shared_ptr<State>, tcp::socket);
    static asio::awaitable<void> accept(std::shared_ptr<State> self, tcp::acceptor& acceptor,
                                        Serve serving) {
        asio::steady_timer pause(acceptor.get_executor());
        while (!self->closed) {
            auto [error, socket] = co_await acceptor.async_accept(as_outcome);
            if (error == asio::error::operation_aborted) break;
            if (error) {
                self->let_one_go();
                pause.expires_after(breath);
                co_await pause.async_wait(as_outcome);
            } else if (self->has_room()) {
                asio::co_spawn(acceptor.get_executor(), serving(self, std::move(socket)),
                               asio::detached);
            }
        }
    }
};

HttpServer::HttpServer(std::shared_ptr<State> state) : state_(std::move(state)) {}

HttpServer::~HttpServer() {
    state_->close();
}

Attempt<std::unique_ptr<HttpServer>> HttpServer::open(asio::any_io_executor executor,
                                                      std::uint16_t port, Handler handler,
                                                      HttpLimits limits, Live live, Keep keep) {
    auto state = std::make_shared<State>(executor, std::move(handler), limits, std::move(live),
                                         std::move(keep));
    if (const auto error = listen(state->plain, {asio::ip::address_v4::loopback(), port})) {
        return Failure{"The station cannot answer on 127.0.0.1 port " + std::to_string(port) +
                       " (" + error.message() +
                       "). Choose another with --listen, or 0 for a free one."};
    }
    state->port = state->plain.local_endpoint().port();
    asio::co_spawn(executor, State::accept(state, state->plain, State::serve), asio::detached);
    return std::unique_ptr<HttpServer>(new HttpServer(std::move(state)));
}

Attempt<void> HttpServer::open_secure(const std::string& address, TlsIdentity identity) {
    const auto endpoint = endpoint_in(address);
    if (!endpoint)
        return Failure{"'" + address +
                       "' is no address with a port. Write 192.0.2.7:8443, "
                       "0.0.0.0:8443 for every address, or [2001:db8::7]:8443."};
    if (const auto error = listen(state_->secure, *endpoint))
        return Failure{"The station cannot answer on " + address + " (" + error.message() +
                       "). Choose another with --address."};
    const auto port = state_->secure.local_endpoint().port();
    state_->secure_name =
        "https://" + name_to_tell(identity.names, *endpoint) + ":" + std::to_string(port);
    state_->names = std::make_shared<const std::vector<std::string>>(identity.names);
    state_->identity = std::move(identity);
    asio::co_spawn(state_->secure.get_executor(),
                   State::accept(state_, state_->secure, State::serve_secure), asio::detached);
    return {};
}

void HttpServer::changed() {
    state_->feed->changed();
}

std::size_t HttpServer::watching() const {
    return state_->feed->readers();
}

Traffic HttpServer::traffic() const {
    Traffic traffic = state_->traffic;
    traffic.open = state_->open.size();
    traffic.watching = watching();
    return traffic;
}

std::uint16_t HttpServer::port() const {
    return state_->port;
}

std::string HttpServer::address() const {
    return "http://127.0.0.1:" + std::to_string(state_->port);
}

std::optional<record::WallTime> HttpServer::certificate_ends() const {
    if (!state_->identity.context) return std::nullopt;
    return state_->identity.ends;
}

std::string HttpServer::secure_address() const {
    return state_->secure_name;
}

}  // namespace padtrim::web
