#include "tests/peers/plain_responder.hpp"

#include <array>
#include <cstdlib>
#include <stdexcept>

#include <poll.h>
#include <pty.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

namespace padtrim::peers {
namespace {

constexpr int request_length = 8;
constexpr double bits_a_character = 11.0;
constexpr double silent_characters = 3.5;

std::uint16_t crc_bitwise(const std::uint8_t* bytes, std::size_t size) {
    unsigned crc = 0xFFFF;
    for (std::size_t at = 0; at < size; ++at) {
        crc ^= bytes[at];
        for (int bit = 0; bit < 8; ++bit) crc = (crc & 1U) != 0 ? (crc >> 1) ^ 0xA001 : crc >> 1;
    }
    return static_cast<std::uint16_t>(crc);
}

std::int64_t now_ns() {
    timespec time{};
    clock_gettime(CLOCK_MONOTONIC, &time);
    return std::int64_t{time.tv_sec} * 1'000'000'000 + time.tv_nsec;
}

void wait_until(std::int64_t instant_ns) {
    while (now_ns() < instant_ns) continue;
}

}  // namespace

PlainResponder::PlainResponder(int ports, unsigned baud) : baud_(baud), ports_(ports) {
    for (Port& port : ports_) {
        std::array<char, 128> name{};
        termios raw{};
        cfmakeraw(&raw);
        if (openpty(&port.master, &port.slave, name.data(), &raw, nullptr) != 0)
            throw std::runtime_error("openpty");
        port.path = name.data();
    }
    thread_ = std::thread([this] { serve(); });
}

PlainResponder::~PlainResponder() {
    stop_ = true;
    thread_.join();
    for (const Port& port : ports_) {
        ::close(port.master);
        ::close(port.slave);
    }
}

double PlainResponder::ideal_seconds(int registers) const {
    const double characters = request_length + 5 + 2 * registers + 2 * silent_characters;
    return characters * bits_a_character / baud_;
}

void PlainResponder::serve() {
    std::vector<pollfd> watch;
    for (const Port& port : ports_) watch.push_back({port.master, POLLIN, 0});
    while (!stop_) {
        // A wire needs no waking up: with one the thread looks all the time.
        if (::poll(watch.data(), watch.size(), baud_ == 0 ? 50 : 0) <= 0) continue;
        for (std::size_t at = 0; at < watch.size(); ++at) {
            if ((watch[at].revents & POLLIN) == 0) continue;
            std::array<std::uint8_t, 256> piece{};
            const ssize_t got = ::read(ports_[at].master, piece.data(), piece.size());
            if (got <= 0) continue;
            std::vector<std::uint8_t>& heard = ports_[at].heard;
            heard.insert(heard.end(), piece.begin(), piece.begin() + got);
            if (heard.size() >= request_length) answer(ports_[at], now_ns());
        }
    }
}

void PlainResponder::answer(Port& port, std::int64_t arrived_ns) {
    const int registers = port.heard[4] << 8 | port.heard[5];
    std::vector<std::uint8_t> reply{1, 3, static_cast<std::uint8_t>(2 * registers)};
    for (int at = 0; at < registers; ++at) {
        reply.push_back(0x12);
        reply.push_back(static_cast<std::uint8_t>(at));
    }
    const std::uint16_t crc = crc_bitwise(reply.data(), reply.size());
    reply.push_back(static_cast<std::uint8_t>(crc & 0xFF));
    reply.push_back(static_cast<std::uint8_t>(crc >> 8));
    port.heard.clear();
    if (baud_ != 0) {
        const double character_ns = bits_a_character * 1e9 / baud_;
        const std::int64_t begins = std::max(arrived_ns, port.line_free_ns);
        const double spent =
            (request_length + silent_characters + static_cast<double>(reply.size())) * character_ns;
        const std::int64_t ends = begins + static_cast<std::int64_t>(spent);
        wait_until(ends);
        port.line_free_ns = ends + static_cast<std::int64_t>(silent_characters * character_ns);
    }
    if (::write(port.master, reply.data(), reply.size()) != static_cast<ssize_t>(reply.size()))
        std::abort();
}

}  // namespace padtrim::peers
