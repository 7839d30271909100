#include "db/ledger/writer_thread.hpp"

#include <utility>

namespace padtrim::ledger {

WriterThread::WriterThread(std::size_t capacity, std::size_t together, Store store)
    : capacity_(capacity),
      together_(together),
      store_(std::move(store)),
      thread_([this] { work(); }) {}

WriterThread::~WriterThread() {
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
    }
    wake_.notify_one();
    thread_.join();
}

bool WriterThread::post(std::unique_ptr<WaitingAct> act) {
    {
        const std::lock_guard lock(mutex_);
        if (acts_.size() >= capacity_) return false;
        acts_.push_back(std::move(act));
    }
    wake_.notify_one();
    return true;
}

// Under the lock.
WriterThread::Acts WriterThread::take() {
    Acts acts;
    do {
        acts.push_back(std::move(acts_.front()));
        acts_.pop_front();
    } while (acts.back()->shares() && acts.size() < together_ && !acts_.empty() &&
             acts_.front()->shares());
    return acts;
}

void WriterThread::work() {
    std::unique_lock lock(mutex_);
    for (;;) {
        wake_.wait(lock, [this] { return ending_ || !acts_.empty(); });
        if (acts_.empty()) return;
        Acts acts = take();
        lock.unlock();
        store_(acts);
        acts.clear();  // what they hold is let go outside the lock
        lock.lock();
    }
}

}  // namespace padtrim::ledger
