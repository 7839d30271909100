#include "station/cli/screen.hpp"

#include <cerrno>

#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

namespace padtrim::cli {

// Echo is switched off as long as this lives.
struct Screen::Keyboard {
    explicit Keyboard(int descriptor) : input(descriptor) {
        known = ::tcgetattr(input, &before) == 0;
        if (!known) return;
        termios quiet = before;
        quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        ::tcsetattr(input, TCSANOW, &quiet);
    }
    ~Keyboard() {
        if (known) ::tcsetattr(input, TCSANOW, &before);
    }
    int input;
    termios before{};
    bool known = false;
};

TerminalSize terminal_size(int descriptor) {
    winsize size{};
    if (::ioctl(descriptor, TIOCGWINSZ, &size) != 0 || size.ws_col == 0 || size.ws_row == 0) {
        return {};
    }
    return {size.ws_col, size.ws_row};
}

// Second page on, cursor hidden; the reverse at the end.
Screen::Screen(int output, int input)
    : output_(output), keyboard_(std::make_unique<Keyboard>(input)) {
    write("\x1b[?1049h\x1b[?25l\x1b[2J");
}

Screen::~Screen() {
    close();
}

void Screen::close() {
    if (!open_) return;
    open_ = false;
    write("\x1b[?25h\x1b[?1049l");
    keyboard_.reset();
}

TerminalSize Screen::size() const {
    return terminal_size(output_);
}

void Screen::show(const std::vector<std::string>& frame) {
    const TerminalSize now = size();
    const bool resized = now.columns != shown_size_.columns || now.rows != shown_size_.rows;
    std::string text = resized ? "\x1b[2J" : "";
    if (resized) shown_.clear();
    for (std::size_t row = 0; row < std::max(frame.size(), shown_.size()); ++row) {
        const std::string line = row < frame.size() ? frame[row] : "";
        if (row < shown_.size() && shown_[row] == line) continue;
        text += "\x1b[" + std::to_string(row + 1) + ";1H" + line + "\x1b[K";
    }
    if (!text.empty()) write(text);
    shown_ = frame;
    shown_size_ = now;
}

void Screen::write(const std::string& text) const {
    for (std::size_t at = 0; at < text.size();) {
        const auto count = ::write(output_, text.data() + at, text.size() - at);
        if (count < 0 && errno != EINTR) return;  // the terminal went away; the lot goes on
        if (count > 0) at += static_cast<std::size_t>(count);
    }
}

}  // namespace padtrim::cli
