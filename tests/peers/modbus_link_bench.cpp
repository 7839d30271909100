// Our Modbus client, a deadline on every transaction, beside libmodbus's client: both on
// pseudo-terminals in one run, in turn, against the same plain server.
//
//   paced: one transaction each 4 ms, as a line does; latency and processor time of the client's
//          thread, medians. wire: back to back on an emulated 115200 bit/s line.
// Prints medians and ratios; exit 1 when one misses its target.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <vector>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <modbus.h>
#include <time.h>

#include "fixtures/drivers/modbus_client.hpp"
#include "fixtures/serial/clocks.hpp"
#include "fixtures/serial/serial_ports.hpp"
#include "tests/peers/plain_responder.hpp"

namespace padtrim::peers {
namespace {

namespace asio = boost::asio;

constexpr int registers = 19;  // a scan of eight keys at two frequencies, with flag and counter
constexpr double cost_target = 1.25;
constexpr double wire_target = 0.97;

double seconds_of(clockid_t clock) {
    timespec time{};
    clock_gettime(clock, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
}

void sleep_until(double instant) {
    timespec until{};
    until.tv_sec = static_cast<time_t>(instant);
    until.tv_nsec = static_cast<long>((instant - static_cast<double>(until.tv_sec)) * 1e9);
    clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &until, nullptr);
}

struct Samples {
    std::vector<double> latency, processor;
    [[nodiscard]] static double median(std::vector<double> values) {
        std::sort(values.begin(), values.end());
        return values[values.size() / 2];
    }
};

class Stopwatch {
  public:
    void stop(Samples& into) const {
        into.processor.push_back(seconds_of(CLOCK_THREAD_CPUTIME_ID) - processor_);
        into.latency.push_back(seconds_of(CLOCK_MONOTONIC) - began_);
    }

  private:
    double began_ = seconds_of(CLOCK_MONOTONIC);
    double processor_ = seconds_of(CLOCK_THREAD_CPUTIME_ID);
};

class Peer {
  public:
    explicit Peer(const std::string& path)
        : context_(modbus_new_rtu(path.c_str(), 115200, 'E', 8, 1)) {
        if (context_ == nullptr || modbus_set_slave(context_, 1) != 0 ||
            modbus_connect(context_) != 0)
            throw std::runtime_error("libmodbus cannot open " + path);
    }
    ~Peer() {
        modbus_close(context_);
        modbus_free(context_);
    }
    Peer(const Peer&) = delete;
    Peer& operator=(const Peer&) = delete;
    void transact() {
        std::uint16_t words[registers];
        if (modbus_read_registers(context_, 0, registers, words) != registers)
            throw std::runtime_error("libmodbus got no answer");
    }

  private:
    modbus_t* context_;
};

class Bench {
  public:
    Bench(asio::io_context& context, unsigned baud)
        : responder_(2, baud), clock_(context.get_executor()), peer_(responder_.path(1)) {
        serial::SerialPorts ports(context.get_executor(), clock_);
        language::PortName name;
        name.path = responder_.path(0);
        auto link = ports.open(name);
        if (!link) throw std::runtime_error(link.error().what);
        client_ = std::make_unique<drivers::ModbusClient>(
            std::move(*link), clock_, drivers::ClientSettings::of(name.line), drivers::Log{});
    }
    static void check(const port::Outcome<drivers::Words>& words) {
        if (!words || words->size() != registers) throw std::runtime_error("no answer for us");
    }
    asio::awaitable<void> paced(int rounds) {
        double tick = seconds_of(CLOCK_MONOTONIC);
        for (int round = 0; round < rounds; ++round) {
            const bool measured = round >= rounds / 20;
            Samples warm_up;
            sleep_until(tick += 0.002);
            const Stopwatch first;
            const auto words = co_await client_->transact(device_, request_);
            first.stop(measured ? ours : warm_up);
            check(words);
            sleep_until(tick += 0.002);
            const Stopwatch second;
            peer_.transact();
            second.stop(measured ? theirs : warm_up);
        }
    }
    // Rates against the ideal, in alternating stretches.
    asio::awaitable<void> back_to_back(int stretches, int transactions) {
        const double ideal = responder_.ideal_seconds(registers) * transactions;
        for (int stretch = 0; stretch < stretches; ++stretch) {
            double began = seconds_of(CLOCK_MONOTONIC);
            for (int n = 0; n < transactions; ++n)
                check(co_await client_->transact(device_, request_));
            ours.latency.push_back(ideal / (seconds_of(CLOCK_MONOTONIC) - began));
            began = seconds_of(CLOCK_MONOTONIC);
            for (int n = 0; n < transactions; ++n) peer_.transact();
            theirs.latency.push_back(ideal / (seconds_of(CLOCK_MONOTONIC) - began));
        }
    }
    Samples ours, theirs;

  private:
    PlainResponder responder_;
    serial::SteadyClock clock_;
    std::unique_ptr<drivers::ModbusClient> client_;
    drivers::BusDevice device_{"plain server", 1, port::Blame::fixture, {}};
    codec::Request request_ = codec::read(codec::Function::read_holding, 1, 0, registers);
    Peer peer_;
};

// One run() for all the work, as the daemon does: Asio keeps its recycled memory for that long.
void run(asio::io_context& context, asio::awaitable<void> work) {
    std::exception_ptr failure;
    asio::co_spawn(context, std::move(work), [&](std::exception_ptr thrown) {
        failure = thrown;
        context.stop();
    });
    context.run();
    if (failure) std::rethrow_exception(failure);
}

bool report(const char* what, double ours, double theirs) {
    const double ratio = ours / theirs;
    std::printf("%-28s ours %7.2f us   libmodbus %7.2f us   ratio %.3f (at most %.2f)\n", what,
                1e6 * ours, 1e6 * theirs, ratio, cost_target);
    return ratio <= cost_target;
}

int bench(int rounds) {
    bool met = true;
    {
        asio::io_context context(1);
        Bench paced(context, 0);
        run(context, paced.paced(rounds));
        met &= report("paced, latency, median", Samples::median(paced.ours.latency),
                      Samples::median(paced.theirs.latency));
        met &= report("paced, processor, median", Samples::median(paced.ours.processor),
                      Samples::median(paced.theirs.processor));
    }
    asio::io_context context(1);
    Bench wire(context, 115200);
    run(context, wire.back_to_back(5, rounds / 20));
    const double ours = Samples::median(wire.ours.latency);
    std::printf("%-28s ours %.4f of ideal    libmodbus %.4f of ideal (at least %.2f)\n",
                "115200 bit/s, rate, median", ours, Samples::median(wire.theirs.latency),
                wire_target);
    return met && ours >= wire_target ? EXIT_SUCCESS : EXIT_FAILURE;
}

}  // namespace
}  // namespace padtrim::peers

int main(int count, char** arguments) {
    const int rounds = count > 1 ? std::atoi(arguments[1]) : 2000;
    try {
        return padtrim::peers::bench(std::max(rounds, 40));
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return EXIT_FAILURE;
    }
}
