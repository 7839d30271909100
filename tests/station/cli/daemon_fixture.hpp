// The real program as the daemon of a station beside a virtual bench, and calls to it.
#pragma once

#include <csignal>

#include <boost/asio/io_context.hpp>

#include "station/web/http_client.hpp"
#include "tests/station/cli/program_fixture.hpp"
#include "tests/support/await.hpp"

namespace padtrim::test_support {

class DaemonProgram : public Program {
  protected:
    std::unique_ptr<Spawned> daemon;
    std::uint16_t port = 0;

    void start_daemon(const std::string& what = recipe) {
        daemon = std::make_unique<Spawned>(Words{program, "serve", what, "--fixture", four_nests,
                                                 "--unit", unit, "--ports", ports, "--records",
                                                 records, "--station", "test", "--listen", "0"});
        ASSERT_TRUE(daemon->until("listens on http://127.0.0.1:")) << daemon->err();
        ASSERT_TRUE(daemon->until("\n"));
        port = static_cast<std::uint16_t>(
            std::stoi(daemon->out().substr(daemon->out().rfind(':') + 1)));
    }
    web::Response call(const std::string& method, const std::string& target,
                       const std::string& body = "") {
        boost::asio::io_context context(1);
        auto answer = support::await(context, web::call(port, method, target, body, 10s));
        return answer ? answer.value() : web::Response{0, answer.error().what, ""};
    }
    int end_daemon() {
        daemon->signal(SIGTERM);
        return daemon->wait();
    }
};

}  // namespace padtrim::test_support
