// A terminal taken over for a live view: frames are drawn in place on its second page, so that
// what stood there before comes back at the end, whatever the frame or the window did.
//
// While it is open the keyboard's echo is off (scanned labels would spoil the frame); Ctrl-C works.
// close() or the destructor gives everything back. One thread.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "station/cli/live_view.hpp"

namespace padtrim::cli {

class Screen {
  public:
    // `output` is a terminal's descriptor, `input` the keyboard's (or anything else).
    Screen(int output, int input);
    ~Screen();
    Screen(const Screen&) = delete;
    Screen& operator=(const Screen&) = delete;

    [[nodiscard]] TerminalSize size() const;
    // Writes only what differs from the frame before.
    void show(const std::vector<std::string>& frame);
    void close();

  private:
    struct Keyboard;
    void write(const std::string& text) const;
    int output_;
    std::unique_ptr<Keyboard> keyboard_;
    std::vector<std::string> shown_;
    TerminalSize shown_size_{0, 0};
    bool open_ = true;
};

// The size of the terminal behind a descriptor, or 80 x 24.
[[nodiscard]] TerminalSize terminal_size(int descriptor);

}  // namespace padtrim::cli
