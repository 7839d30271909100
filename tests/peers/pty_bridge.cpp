#include "tests/peers/pty_bridge.hpp"

#include <array>
#include <cstdint>

#include <poll.h>
#include <unistd.h>

namespace padtrim::peers {
namespace {

void pass_on(int from, int to) {
    std::array<std::uint8_t, 512> piece{};
    const ssize_t got = ::read(from, piece.data(), piece.size());
    for (ssize_t done = 0; done < got;) {
        const ssize_t put = ::write(to, piece.data() + done, static_cast<std::size_t>(got - done));
        if (put <= 0) return;
        done += put;
    }
}

}  // namespace

PtyBridge::PtyBridge() : thread_([this] { carry(); }) {}

PtyBridge::~PtyBridge() {
    stop_ = true;
    thread_.join();
}

void PtyBridge::carry() {
    std::array<pollfd, 2> watch{{{near_.master(), POLLIN, 0}, {far_.master(), POLLIN, 0}}};
    while (!stop_) {
        if (::poll(watch.data(), watch.size(), 20) <= 0) continue;
        if ((watch[0].revents & POLLIN) != 0) pass_on(near_.master(), far_.master());
        if ((watch[1].revents & POLLIN) != 0) pass_on(far_.master(), near_.master());
    }
}

}  // namespace padtrim::peers
