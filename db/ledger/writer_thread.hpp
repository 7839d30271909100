// One thread that does work in the order it was posted. Destruction does what is still posted,
// then ends the thread.
//
// post() may be called from any thread and never waits; it says no when `capacity` jobs wait, so
// that a disk that no longer keeps up is noticed instead of filling memory.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace padtrim::ledger {

class WriterThread {
  public:
    using Job = std::function<void()>;

    explicit WriterThread(std::size_t capacity);
    ~WriterThread();
    WriterThread(const WriterThread&) = delete;
    WriterThread& operator=(const WriterThread&) = delete;
    [[nodiscard]] bool post(Job job);

  private:
    void work();

    const std::size_t capacity_;
    std::mutex mutex_;
    std::condition_variable wake_;
    std::deque<Job> jobs_;
    bool ending_ = false;
    std::thread thread_;
};

}  // namespace padtrim::ledger
