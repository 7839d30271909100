// The server over a real loopback socket; the client is the project's own or raw bytes.
#include "station/web/http_server.hpp"

#include <array>
#include <atomic>
#include <future>
#include <thread>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <gtest/gtest.h>

#include "station/web/http_client.hpp"

namespace padtrim::web {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using tcp = asio::ip::tcp;

class Server : public ::testing::Test {
  protected:
    asio::io_context context;
    std::vector<Request> seen;
    HttpLimits limits;
    std::unique_ptr<HttpServer> server;

    void open() {
        auto opened = HttpServer::open(
            context.get_executor(), 0,
            [this](const Request& request) {
                seen.push_back(request);
                if (request.path == "/live") {
                    Response stream;
                    stream.live = true;
                    stream.login = request.query;
                    return stream;
                }
                if (request.path == "/later") {
                    Response question;
                    question.later = [] { return Response{200, "\"later\"", ""}; };
                    return question;
                }
                if (request.path == "/bug") {
                    Response question;
                    question.later = []() -> Response { throw std::runtime_error("a bug"); };
                    return question;
                }
                return Response{200, "{\"body\":" + std::to_string(request.body.size()) + "}", ""};
            },
            limits, [] { return std::string("{\"n\":1}"); });
        ASSERT_TRUE(opened.has_value()) << opened.error().what;
        server = std::move(opened.value());
    }

    // Runs the context until the coroutine has ended.
    template <class Coroutine>
    void run(Coroutine coroutine) {
        bool done = false;
        std::exception_ptr failure;
        asio::co_spawn(context, std::move(coroutine), [&](std::exception_ptr error) {
            failure = error;
            done = true;
        });
        while (!done) context.run_one();
        if (failure) std::rethrow_exception(failure);
    }

    asio::awaitable<void> talk(std::string bytes, std::string& reply) {
        tcp::socket socket(context);
        const tcp::endpoint endpoint(asio::ip::address_v4::loopback(), server->port());
        co_await socket.async_connect(endpoint, asio::use_awaitable);
        co_await asio::async_write(socket, asio::buffer(bytes), asio::use_awaitable);
        std::array<char, 4096> chunk{};
        for (;;) {
            boost::system::error_code error;
            const auto count = co_await read(socket, chunk, error);
            if (error) break;
            reply.append(chunk.data(), count);
        }
    }

    static asio::awaitable<std::size_t> read(tcp::socket& socket, std::array<char, 4096>& chunk,
                                             boost::system::error_code& error) {
        try {
            const auto count =
                co_await socket.async_read_some(asio::buffer(chunk), asio::use_awaitable);
            co_return count;
        } catch (const boost::system::system_error& failure) {
            error = failure.code();
        }
        co_return 0;
    }

    std::string raw(const std::string& bytes) {
        std::string reply;
        run([&]() -> asio::awaitable<void> { return talk(bytes, reply); });
        return reply;
    }
};

TEST_F(Server, CarriesARequestAndItsAnswer) {
    open();
    Attempt<Response> got = Failure{"not called"};
    run([&]() -> asio::awaitable<void> {
        got = co_await call(server->port(), "POST", "/api/x?after=3", "{\"a\":1}", 5s);
    });
    ASSERT_TRUE(got.has_value()) << got.error().what;
    EXPECT_EQ(got.value().status, 200u);
    EXPECT_EQ(got.value().body, "{\"body\":7}\n");
    ASSERT_EQ(seen.size(), 1u);
    EXPECT_EQ(seen[0].path, "/api/x");
    EXPECT_EQ(seen[0].query, "after=3");
    EXPECT_EQ(seen[0].method, "POST");
    EXPECT_EQ(seen[0].content_type, "application/json");
    EXPECT_EQ(seen[0].host, "127.0.0.1:" + std::to_string(server->port()));
}

// RFC 9112, section 9.3: a connection stays open for the next request unless one side closes it.
TEST_F(Server, AnswersTwoRequestsOnOneConnection) {
    open();
    const auto reply =
        raw("GET /a HTTP/1.1\r\nHost: localhost\r\n\r\n"
            "GET /b HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    ASSERT_EQ(seen.size(), 2u);
    EXPECT_EQ(seen[1].path, "/b");
    EXPECT_NE(reply.rfind("HTTP/1.1 200"), reply.find("HTTP/1.1 200"));
}

TEST_F(Server, RefusesABodyThatIsTooLongWithoutReadingIt) {
    limits.body_bytes = 10;
    open();
    const auto reply = raw("POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 11\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 413") << reply;
    EXPECT_TRUE(seen.empty());
}

TEST_F(Server, RefusesAHeaderThatIsTooLong) {
    limits.header_bytes = 200;
    open();
    const auto reply =
        raw("GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: " + std::string(300, 'x') + "\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 431") << reply;
    EXPECT_TRUE(seen.empty());
}

TEST_F(Server, AnswersRubbishWithAnErrorAndGoesOn) {
    open();
    EXPECT_EQ(raw("\x01\x02 rubbish\r\n\r\n").substr(0, 12), "HTTP/1.1 400");
    const auto reply = raw("GET /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 200");
}

TEST_F(Server, TellsBrowsersToFrameAndSniffNothing) {
    open();
    const auto reply = raw("GET /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_NE(reply.find("X-Content-Type-Options: nosniff"), std::string::npos);
    EXPECT_NE(reply.find("frame-ancestors 'none'"), std::string::npos);
}

// The stream's form is that of the HTML standard, section 9.2.
TEST_F(Server, StreamsTheStateUntilItCloses) {
    limits.live.beat = 10ms;
    open();
    asio::steady_timer end(context, 200ms);
    end.async_wait([&](boost::system::error_code) { server.reset(); });
    const auto reply = raw("GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n");
    EXPECT_NE(reply.find("Content-Type: text/event-stream\r\n"), std::string::npos) << reply;
    EXPECT_NE(reply.find("\r\n\r\ndata: {\"n\":1}\n\n"), std::string::npos) << reply;
    EXPECT_NE(reply.find("event: beat\n"), std::string::npos) << reply;
}

TEST_F(Server, AnswersQuestionsToTheRecordsByAThreadBeside) {
    open();
    const auto reply = raw("GET /later HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_NE(reply.find("\"later\""), std::string::npos) << reply;
    const auto bug = raw("GET /bug HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(bug.substr(0, 12), "HTTP/1.1 500") << bug;
}

// A question that takes as long as the test likes; acts and questions beside it.
class BusyServer : public Server {
  protected:
    std::promise<void> begun, go_on;
    std::atomic<int> questions = 0, ended = 0;

    // Before what its questions use.
    void TearDown() override { server.reset(); }

    void open_busy() {
        auto opened = HttpServer::open(
            context.get_executor(), 0,
            [this](const Request& request) {
                Response response;
                response.act = request.path == "/act";
                response.later = [this, act = response.act] {
                    if (!act && questions++ == 0) {
                        begun.set_value();
                        go_on.get_future().wait();
                        ++ended;
                    }
                    return Response{200, act ? "\"decided\"" : "\"told\"", ""};
                };
                return response;
            },
            limits);
        ASSERT_TRUE(opened.has_value()) << opened.error().what;
        server = std::move(opened.value());
    }
    // Sends it and does not wait for the answer.
    std::unique_ptr<tcp::socket> send(const std::string& path) {
        auto socket = std::make_unique<tcp::socket>(context);
        socket->connect({asio::ip::address_v4::loopback(), server->port()});
        asio::write(*socket, asio::buffer("GET " + path + " HTTP/1.1\r\nHost: localhost\r\n\r\n"));
        return socket;
    }
    // The server has begun to end then.
    static void until_nobody_answers(std::uint16_t port) {
        asio::io_context beside;
        boost::system::error_code refused;
        while (!refused) {
            tcp::socket socket(beside);
            socket.connect({asio::ip::address_v4::loopback(), port}, refused);
        }
    }
    void until_it_is_asked() {
        auto asked = begun.get_future();
        while (asked.wait_for(0s) != std::future_status::ready) context.run_one_for(10ms);
    }
};

TEST_F(BusyServer, AnswersActsWhileALongQuestionIsAnswered) {
    open_busy();
    const auto slow = send("/question");
    until_it_is_asked();
    const auto reply = raw("GET /act HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_NE(reply.find("\"decided\""), std::string::npos) << reply;
    EXPECT_EQ(ended, 0) << "the question still runs";
    go_on.set_value();
}

TEST_F(BusyServer, SaysWhenTheQueueOfQuestionsIsFull) {
    limits.questions = 1;
    open_busy();
    const auto slow = send("/question");
    until_it_is_asked();
    const auto reply = raw("GET /more HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 503") << reply;
    EXPECT_NE(reply.find("Ask again"), std::string::npos) << reply;
    go_on.set_value();
}

// What the question uses may be gone once the server is: it has ended by then, the one behind it
// was never begun, and nobody's answer is left to come.
TEST_F(BusyServer, WaitsForTheQuestionThatIsAnsweredWhenItEnds) {
    open_busy();
    const auto slow = send("/question");
    until_it_is_asked();
    const auto behind = send("/behind");
    while (server->traffic().open < 2) context.run_one();
    context.poll();
    std::thread other([this, port = server->port()] {
        until_nobody_answers(port);
        go_on.set_value();
    });
    server.reset();
    EXPECT_EQ(ended, 1);
    EXPECT_EQ(questions, 1) << "the one behind it was begun";
    other.join();
    EXPECT_GT(context.run_for(5s), 0u);
    EXPECT_TRUE(context.stopped()) << "something still waits";
}

// As a daemon that gives up does: its context runs no further.
TEST_F(BusyServer, EndsWhereItsContextRunsNoFurther) {
    open_busy();
    const auto slow = send("/question");
    until_it_is_asked();
    context.stop();
    std::thread other([this, port = server->port()] {
        until_nobody_answers(port);
        go_on.set_value();
    });
    server.reset();
    EXPECT_EQ(ended, 1);
    other.join();
}

TEST_F(Server, RefusesOneStreamTooMany) {
    limits.live.readers = 0;
    open();
    EXPECT_EQ(
        raw("GET /live HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").substr(0, 12),
        "HTTP/1.1 503");
}

TEST_F(Server, RefusesOneStreamTooManyOfALogin) {
    limits.live.of_one_login = 0;
    open();
    const auto reply = raw("GET /live?M HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 429");
    EXPECT_NE(reply.find("of this login"), std::string::npos) << reply;
}

// One that reads nothing fills its buffers and is let go; others go on.
TEST_F(Server, DropsAReaderThatDoesNotRead) {
    limits.slow = 1s;
    limits.live.gap = 1ms;
    std::string much(300'000, 'x');
    auto opened = HttpServer::open(
        context.get_executor(), 0,
        [](const Request& request) {
            Response answer;
            answer.live = request.path == "/live";
            return answer;
        },
        limits, [&much] { return much; });
    ASSERT_TRUE(opened.has_value());
    server = std::move(opened.value());
    tcp::socket silent(context);
    silent.connect({asio::ip::address_v4::loopback(), server->port()});
    asio::write(silent, asio::buffer(std::string("GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n")));
    asio::steady_timer changing(context);
    int changes = 0;
    std::function<void(boost::system::error_code)> change = [&](boost::system::error_code) {
        server->changed();
        if (++changes == 150) return;
        changing.expires_after(10ms);
        changing.async_wait(change);
    };
    change({});
    while (changes < 150 || server->watching() > 0) context.run_one_for(1s);
    EXPECT_EQ(server->watching(), 0u);
    EXPECT_EQ(raw("GET /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").substr(0, 12),
              "HTTP/1.1 200");
}

// A slow client that sends a header byte by byte keeps a connection; many of them keep all.
TEST_F(Server, LetsTheConnectionGoThatKeptItWaitingLongest) {
    limits.connections = 3;
    open();
    std::vector<std::unique_ptr<tcp::socket>> slow;
    for (int i = 0; i < 6; ++i) {
        slow.push_back(std::make_unique<tcp::socket>(context));
        slow.back()->connect({asio::ip::address_v4::loopback(), server->port()});
        asio::write(*slow.back(), asio::buffer(std::string("GET /slow HT")));
        context.poll();
    }
    const auto reply = raw("GET /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    EXPECT_EQ(reply.substr(0, 12), "HTTP/1.1 200");
    EXPECT_EQ(seen.size(), 1u);
    EXPECT_GE(server->traffic().gave_way, 4u);
    EXPECT_LE(server->traffic().open, 3u);
}

TEST_F(Server, EndsAStreamThatMayNotGoOn) {
    bool goes_on = true;
    limits.live.beat = 10ms;
    auto opened = HttpServer::open(
        context.get_executor(), 0,
        [&](const Request&) {
            Response answer;
            answer.live = true;
            answer.goes_on = [&] { return goes_on; };
            return answer;
        },
        limits, [] { return std::string("{}"); });
    server = std::move(opened.value());
    asio::steady_timer end(context, 100ms);
    end.async_wait([&](boost::system::error_code) { goes_on = false; });
    const auto reply = raw("GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n");
    EXPECT_NE(reply.find("data: {}"), std::string::npos);
    EXPECT_EQ(server->watching(), 0u);
}

TEST_F(Server, AnswersOnlyWhenTheAuditIsKept) {
    std::string order;
    auto opened = HttpServer::open(
        context.get_executor(), 0,
        [&](const Request& request) {
            Response answer{202, "{}", ""};
            answer.audit.emplace();
            answer.audit->act = request.path;
            return answer;
        },
        limits, [] { return std::string("{}"); },
        [&](record::AuditEntry entry) -> asio::awaitable<void> {
            asio::steady_timer disk(context, 20ms);
            co_await disk.async_wait(asio::use_awaitable);
            order += "kept " + entry.act;
        });
    server = std::move(opened.value());
    order += raw("GET /x HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").substr(0, 12);
    EXPECT_EQ(order, "kept /xHTTP/1.1 202");
}

TEST_F(Server, CountsItsAnswers) {
    open();
    raw("GET /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    raw("rubbish\r\n\r\n");
    EXPECT_EQ(server->traffic().answers[2], 1u);
    EXPECT_EQ(server->traffic().answers[4], 1u);
    EXPECT_EQ(server->traffic().connections, 2u);
}

TEST_F(Server, SaysWhenItsPortIsTaken) {
    open();
    const auto second = HttpServer::open(context.get_executor(), server->port(),
                                         [](const Request&) { return Response{}; });
    ASSERT_FALSE(second.has_value());
    EXPECT_NE(second.error().what.find("--listen"), std::string::npos);
}

TEST_F(Server, ACallToNobodySaysSo) {
    open();
    const auto port = server->port();
    server.reset();
    Attempt<Response> got = Response{};
    run([&]() -> asio::awaitable<void> {
        got = co_await call(port, "GET", "/api/health", "", 5s);
    });
    ASSERT_FALSE(got.has_value());
    EXPECT_NE(got.error().what.find("Cannot reach"), std::string::npos);
}

}  // namespace
}  // namespace padtrim::web
