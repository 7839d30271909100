// An instrument in a process of its own: scpi_instrument.py beside this file. It ends with its
// owner, or with stop(), as when somebody pulls its plug.
#pragma once

#include <string>
#include <vector>

#include <sys/types.h>

namespace padtrim::peers {

class PythonInstrument {
  public:
    // Starts it and waits for its first line. Throws std::runtime_error when there is none.
    explicit PythonInstrument(const std::vector<std::string>& arguments);
    ~PythonInstrument() { stop(); }
    PythonInstrument(const PythonInstrument&) = delete;
    PythonInstrument& operator=(const PythonInstrument&) = delete;

    // What it said first: its TCP port, or the name of its pseudo-terminal.
    [[nodiscard]] const std::string& where() const { return where_; }
    void stop();

  private:
    pid_t id_ = -1;
    int input_ = -1;
    std::string where_;
};

}  // namespace padtrim::peers
