// A serial cable between two programs: two pseudo-terminals, and a thread that carries what comes
// out of one master end into the other.
#pragma once

#include <atomic>
#include <string>
#include <thread>

#include "tests/support/pseudo_terminal.hpp"

namespace padtrim::peers {

class PtyBridge {
  public:
    PtyBridge();
    ~PtyBridge();
    PtyBridge(const PtyBridge&) = delete;
    PtyBridge& operator=(const PtyBridge&) = delete;
    [[nodiscard]] const std::string& near() const { return near_.path(); }
    [[nodiscard]] const std::string& far() const { return far_.path(); }

  private:
    void carry();
    test::PseudoTerminal near_, far_;
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

}  // namespace padtrim::peers
