// One thread that stores acts in the order they were posted. What waits together, and may, is
// handed over together, so that acts of several nests share a commit: the disk is waited for once.
// Destruction stores what is still posted, then ends the thread.
//
// post() may be called from any thread and never waits; it says no when `capacity` acts wait, so
// that a disk that no longer keeps up is noticed instead of filling memory.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

#include "db/ledger/database.hpp"

namespace padtrim::ledger {

class WaitingAct {
  public:
    // shares: its transaction, with others before and after it.
    explicit WaitingAct(bool shares) : shares_(shares) {}
    virtual ~WaitingAct() = default;
    [[nodiscard]] bool shares() const { return shares_; }
    // Within a transaction; it may be done again after that was rolled back. False: it is not to be
    // kept. Exceptions pass.
    virtual bool act(Database& database) = 0;
    // In a transaction of its own. No exception leaves it.
    virtual void act_alone() = 0;
    // Once, after either.
    virtual void answer() = 0;

  private:
    bool shares_;
};

class WriterThread {
  public:
    using Acts = std::vector<std::unique_ptr<WaitingAct>>;
    using Store = std::function<void(const Acts&)>;  // no exception leaves it

    // Hands over one act, or up to `together` that share.
    WriterThread(std::size_t capacity, std::size_t together, Store store);
    ~WriterThread();
    WriterThread(const WriterThread&) = delete;
    WriterThread& operator=(const WriterThread&) = delete;
    // False: not taken, and gone.
    [[nodiscard]] bool post(std::unique_ptr<WaitingAct> act);

  private:
    void work();
    Acts take();

    const std::size_t capacity_, together_;
    const Store store_;
    std::mutex mutex_;
    std::condition_variable wake_;
    std::deque<std::unique_ptr<WaitingAct>> acts_;
    bool ending_ = false;
    std::thread thread_;
};

}  // namespace padtrim::ledger
