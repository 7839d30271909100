// A pseudo-terminal of the test's own: the test holds the master end, the code under test opens
// the slave by path. A spare slave stays open, since a master reports an error once the last
// slave has closed; hang_up() closes both.
#pragma once

#include <chrono>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace padtrim::test {

class PseudoTerminal {
  public:
    PseudoTerminal();
    ~PseudoTerminal();
    PseudoTerminal(const PseudoTerminal&) = delete;
    PseudoTerminal& operator=(const PseudoTerminal&) = delete;

    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] int master() const { return master_; }
    void send(std::span<const std::uint8_t> bytes) const;
    // What the other side has written by now; waits up to `patience` for the first byte.
    [[nodiscard]] std::vector<std::uint8_t> received(
        std::chrono::milliseconds patience = std::chrono::milliseconds(500)) const;
    void close_spare_slave();
    void hang_up();

  private:
    int master_ = -1;
    int spare_slave_ = -1;
    std::string path_;
};

}  // namespace padtrim::test
