// The server of the link benchmark: one thread, plain system calls, no code of padtrim.
//
// Answers "read holding registers" requests of unit 1 on several pseudo-terminals with a counting
// pattern. With a wire it answers when a wire of that bit rate would have carried the request, a
// turnaround of 3.5 characters and the reply; a request that comes less than 3.5 characters after
// the last reply starts when they are over.
#pragma once

#include <atomic>
#include <cstdint>
#include <string>
#include <thread>
#include <vector>

namespace padtrim::peers {

class PlainResponder {
  public:
    // baud 0: answers at once.
    PlainResponder(int ports, unsigned baud);
    ~PlainResponder();
    PlainResponder(const PlainResponder&) = delete;
    PlainResponder& operator=(const PlainResponder&) = delete;
    [[nodiscard]] const std::string& path(int port) const { return ports_[port].path; }
    // Seconds that one transaction takes on the ideal wire.
    [[nodiscard]] double ideal_seconds(int registers) const;

  private:
    struct Port {
        int master = -1, slave = -1;
        std::string path;
        std::vector<std::uint8_t> heard;
        std::int64_t line_free_ns = 0;
    };
    void serve();
    void answer(Port& port, std::int64_t arrived_ns);
    unsigned baud_;
    std::vector<Port> ports_;
    std::atomic<bool> stop_{false};
    std::thread thread_;
};

}  // namespace padtrim::peers
