// Ctrl-C, and the polite ends of a process (SIGTERM, SIGHUP): the first asks to load no more, the
// second to abort what runs. More change nothing, since the safe state must be reached.
#pragma once

#include <functional>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/signal_set.hpp>

namespace padtrim {

class Interruptions {
  public:
    Interruptions(boost::asio::any_io_executor executor, std::function<void()> first,
                  std::function<void()> second);
    // No longer listens; the signals keep their meaning for the process.
    void cancel();

  private:
    void wait();
    boost::asio::signal_set signals_;
    std::function<void()> first_, second_;
    int seen_ = 0;
    bool cancelled_ = false;
};

}  // namespace padtrim
