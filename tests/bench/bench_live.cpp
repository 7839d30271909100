// How long it takes from an event of the engine to a page that watches, with the daemon's real
// parts: daemon, server and feed in this process, the pages in another one. Prints figures; judges
// nothing.
//
//   bench_live RECIPE FIXTURE UNIT PORTS RECORDS [pages] [seconds]     default: 50, 30
//
// tests/bench/pages_under_load makes a fixture of eight nests with its virtual bench and starts
// this. Each state carries the newest changes with the moment that the engine told them
// (CLOCK_MONOTONIC, one for all processes), so that each page knows of every change how long it was
// on its way. A change that was overtaken by the next one before it was sent counts from its own
// moment.
#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <deque>
#include <string>
#include <vector>

#include <arpa/inet.h>
#include <boost/asio/steady_timer.hpp>
#include <netinet/in.h>
#include <poll.h>
#include <sched.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "station/main/daemon.hpp"
#include "station/main/wishes.hpp"
#include "station/web/http_server.hpp"
#include "station/web/router.hpp"

namespace padtrim {
namespace {

namespace asio = boost::asio;
using Clock = std::chrono::steady_clock;

std::int64_t microseconds_now() {
    return std::chrono::duration_cast<std::chrono::microseconds>(Clock::now().time_since_epoch())
        .count();
}

// The processor that a process keeps to: the daemon the first, pages the second, where there are
// two.
void keep_to(int processor) {
    if (sysconf(_SC_NPROCESSORS_ONLN) < 2) return;
    cpu_set_t set;
    CPU_ZERO(&set);
    CPU_SET(processor, &set);
    sched_setaffinity(0, sizeof set, &set);
}

struct Change {
    std::uint64_t number = 0;
    std::int64_t at = 0;
};

// "changes 5:1000 6:1234 " before the state itself: the newest that a page may not have seen.
class Stamps {
  public:
    void add() {
        changes_.push_back({++number_, microseconds_now()});
        if (changes_.size() > kept) changes_.pop_front();
    }
    [[nodiscard]] std::string text() const {
        std::string words = "changes ";
        for (const Change& one : changes_)
            words += std::to_string(one.number) + ":" + std::to_string(one.at) + " ";
        return words;
    }
    [[nodiscard]] std::uint64_t count() const { return number_; }

  private:
    static constexpr std::size_t kept = 32;
    std::deque<Change> changes_;
    std::uint64_t number_ = 0;
};

// One page: its socket, and the text that is not a whole line yet.
struct Page {
    pollfd link{-1, POLLIN, 0};
    std::string text;
    std::uint64_t seen = 0;
    bool first = true;
};

int connect_to(std::uint16_t port) {
    const int link = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (connect(link, reinterpret_cast<sockaddr*>(&address), sizeof address) != 0) _exit(3);
    const std::string request = "GET /api/live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
    if (write(link, request.data(), request.size()) < 0) _exit(3);
    return link;
}

struct Heard {
    std::vector<std::int64_t> delays;  // microseconds
    std::uint64_t states = 0, bytes = 0;
};

void take_line(Page& page, std::string_view line, std::int64_t now, Heard& heard) {
    constexpr std::string_view start = "data: changes ";
    if (line.substr(0, start.size()) != start) return;
    ++heard.states;
    std::uint64_t newest = page.seen;
    for (const char* at = line.data() + start.size(); *at >= '0' && *at <= '9';) {
        char* after = nullptr;
        const std::uint64_t number = std::strtoull(at, &after, 10);
        const std::int64_t moment = std::strtoll(after + 1, &after, 10);
        at = after + 1;
        // What was there before the page came is old news.
        if (number > page.seen && !page.first) heard.delays.push_back(now - moment);
        newest = std::max(newest, number);
    }
    page.seen = newest;
    page.first = false;
}

void take_bytes(Page& page, Heard& heard) {
    static std::array<char, 1 << 16> chunk;
    const auto length = read(page.link.fd, chunk.data(), chunk.size());
    if (length <= 0) _exit(4);
    const std::int64_t now = microseconds_now();
    heard.bytes += static_cast<std::uint64_t>(length);
    page.text.append(chunk.data(), static_cast<std::size_t>(length));
    std::size_t from = 0;
    for (auto end = page.text.find('\n'); end != std::string::npos;
         end = page.text.find('\n', from)) {
        take_line(page, std::string_view(page.text).substr(from, end - from), now, heard);
        from = end + 1;
    }
    page.text.erase(0, from);
}

volatile std::sig_atomic_t told_to_end = 0;

void print_delays(Heard& heard, std::size_t pages) {
    if (heard.delays.empty()) _exit(5);
    std::sort(heard.delays.begin(), heard.delays.end());
    const auto at = [&](double share) {
        const auto place = static_cast<double>(heard.delays.size() - 1) * share;
        return static_cast<double>(heard.delays[static_cast<std::size_t>(place)]) / 1000.0;
    };
    std::printf("pages %zu, states %llu of %.1f kB, changes heard %zu\n", pages,
                static_cast<unsigned long long>(heard.states),
                static_cast<double>(heard.bytes) / 1000.0 / static_cast<double>(heard.states),
                heard.delays.size());
    std::printf("engine's event to page: p50 %.1f ms, p99 %.1f ms, worst %.1f ms\n", at(0.5),
                at(0.99), at(1.0));
    std::fflush(stdout);
}

// The pages' process, until it is told to end.
[[noreturn]] void watch(std::uint16_t port, std::size_t count) {
    keep_to(1);
    std::signal(SIGTERM, [](int) { told_to_end = 1; });
    std::vector<Page> pages(count);
    std::vector<pollfd> links;
    for (Page& page : pages) {
        page.link.fd = connect_to(port);
        links.push_back(page.link);
    }
    Heard heard;
    while (told_to_end == 0) {
        if (poll(links.data(), links.size(), 100) <= 0) continue;
        for (std::size_t i = 0; i < links.size(); ++i)
            if (links[i].revents != 0) take_bytes(pages[i], heard);
    }
    print_delays(heard, count);
    _exit(0);
}

double processor_seconds() {
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    return static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
           static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
}

struct Wished {
    cli::StationWish of;
    std::size_t pages = 50;
    int seconds = 30;
};

int measure(const Wished& wished) {
    keep_to(0);
    auto plan = plan_of(wished.of);
    if (const auto* trouble = std::get_if<GivesUp>(&plan)) return complain(*trouble);
    asio::io_context context(1);
    const StationLog log({wished.of.records + ".log", "error"}, wished.of.records, true);
    auto ledger = open_ledger(context, wished.of.records);
    if (const auto* trouble = std::get_if<GivesUp>(&ledger)) return complain(*trouble);
    Daemon daemon(context, wished.of, std::get<0>(plan), log, *std::get<0>(ledger), {});
    Stamps stamps;
    auto server = web::HttpServer::open(
        context.get_executor(), 0,
        [&](const web::Request& request) { return web::answer(request, daemon); }, {},
        [&] { return stamps.text() + web::live_state(daemon); });
    if (!server) return complain({cli::bad_input, server.error().what});
    daemon.tell_changes_to([&] {
        stamps.add();
        server.value()->changed();
    });
    web::StartRequest start;
    start.lot = "pages";
    start.draft = true;
    const auto begun = daemon.start_lot(start);
    if (begun.outcome != web::Outcome::accepted) return complain({cli::bad_input, begun.sentence});
    const std::uint16_t port = server.value()->port();
    const pid_t watcher = fork();
    if (watcher == 0) watch(port, wished.pages);
    context.run_for(std::chrono::seconds(5));  // every nest has its unit by then
    const double before = processor_seconds();
    const std::uint64_t changes = stamps.count();
    const std::size_t watching = server.value()->watching();
    context.run_for(std::chrono::seconds(wished.seconds));
    const double share = (processor_seconds() - before) / wished.seconds;
    kill(watcher, SIGTERM);
    int status = 0;
    waitpid(watcher, &status, 0);
    std::printf(
        "streams open %zu and %zu, engine's events %.0f a second, daemon's share of a core %.1f "
        "%%\n",
        watching, server.value()->watching(),
        static_cast<double>(stamps.count() - changes) / wished.seconds, 100.0 * share);
    std::fflush(stdout);
    _exit(WIFEXITED(status) ? WEXITSTATUS(status)
                            : 6);  // in the middle of a lot; the folder goes too
}

}  // namespace
}  // namespace padtrim

int main(int argc, char** argv) {
    if (argc < 6) {
        std::fputs("bench_live RECIPE FIXTURE UNIT PORTS RECORDS [pages] [seconds]\n", stderr);
        return 2;
    }
    std::signal(SIGPIPE, SIG_IGN);
    padtrim::Wished wished;
    wished.of = {argv[1], argv[2], argv[3], argv[4], argv[5], "line-3"};
    if (argc > 6) wished.pages = std::strtoul(argv[6], nullptr, 10);
    if (argc > 7) wished.seconds = std::atoi(argv[7]);
    return padtrim::measure(wished);
}
