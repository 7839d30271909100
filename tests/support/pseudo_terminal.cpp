#include "tests/support/pseudo_terminal.hpp"

#include <array>
#include <cerrno>
#include <cstdlib>
#include <system_error>

#include <fcntl.h>
#include <poll.h>
#include <termios.h>
#include <unistd.h>

namespace padtrim::test {
namespace {

void demand(bool done, const char* what) {
    if (!done) throw std::system_error(errno, std::generic_category(), what);
}

}  // namespace

PseudoTerminal::PseudoTerminal() : master_(::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC)) {
    demand(master_ >= 0, "posix_openpt");
    demand(::grantpt(master_) == 0 && ::unlockpt(master_) == 0, "unlockpt");
    std::array<char, 128> name{};
    demand(::ptsname_r(master_, name.data(), name.size()) == 0, "ptsname_r");
    path_ = name.data();
    spare_slave_ = ::open(path_.c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
    demand(spare_slave_ >= 0, "open slave");
    termios settings{};
    demand(::tcgetattr(spare_slave_, &settings) == 0, "tcgetattr");
    cfmakeraw(&settings);
    demand(::tcsetattr(spare_slave_, TCSANOW, &settings) == 0, "tcsetattr");
}

PseudoTerminal::~PseudoTerminal() {
    hang_up();
}

void PseudoTerminal::send(std::span<const std::uint8_t> bytes) const {
    const ssize_t put = ::write(master_, bytes.data(), bytes.size());
    demand(put == static_cast<ssize_t>(bytes.size()), "write to the master end");
}

std::vector<std::uint8_t> PseudoTerminal::received(std::chrono::milliseconds patience) const {
    std::vector<std::uint8_t> all;
    int wait = static_cast<int>(patience.count());
    pollfd state{master_, POLLIN, 0};
    while (::poll(&state, 1, wait) > 0 && (state.revents & POLLIN) != 0) {
        std::array<std::uint8_t, 4096> piece{};
        const ssize_t got = ::read(master_, piece.data(), piece.size());
        if (got <= 0) break;
        all.insert(all.end(), piece.begin(), piece.begin() + got);
        wait = 0;
    }
    return all;
}

void PseudoTerminal::hang_up() {
    close_spare_slave();
    if (master_ >= 0) ::close(master_);
    master_ = -1;
}

void PseudoTerminal::close_spare_slave() {
    if (spare_slave_ >= 0) ::close(spare_slave_);
    spare_slave_ = -1;
}

}  // namespace padtrim::test
