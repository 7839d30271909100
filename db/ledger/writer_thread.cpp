#include "db/ledger/writer_thread.hpp"

#include <utility>

namespace padtrim::ledger {

WriterThread::WriterThread(std::size_t capacity)
    : capacity_(capacity), thread_([this] { work(); }) {}

WriterThread::~WriterThread() {
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
    }
    wake_.notify_one();
    thread_.join();
}

bool WriterThread::post(Job job) {
    {
        const std::lock_guard lock(mutex_);
        if (jobs_.size() >= capacity_) return false;
        jobs_.push_back(std::move(job));
    }
    wake_.notify_one();
    return true;
}

void WriterThread::work() {
    std::unique_lock lock(mutex_);
    for (;;) {
        wake_.wait(lock, [this] { return ending_ || !jobs_.empty(); });
        if (jobs_.empty()) return;
        Job job = std::move(jobs_.front());
        jobs_.pop_front();
        lock.unlock();
        job();
        job = nullptr;  // what it holds is let go outside the lock
        lock.lock();
    }
}

}  // namespace padtrim::ledger
