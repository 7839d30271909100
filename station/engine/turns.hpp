// A shared resource that is used by one at a time, in the order of asking: the dummy finger.
//
// take() waits for its turn; the Turn gives it back when it goes out of scope, on every way out.
// Threading: one io_context thread. Ownership: Turns outlives every Turn and every waiter.
// Cancellation: a waiter that is cancelled leaves the queue (operation_aborted is thrown); a turn
// that was granted in the same instant goes to the next in the queue.
#pragma once

#include <cstddef>
#include <list>
#include <utility>

#include <boost/asio/awaitable.hpp>

namespace padtrim::engine {

class Turns;

class Turn {
  public:
    Turn() = default;
    explicit Turn(Turns& turns) : turns_(&turns) {}
    Turn(Turn&& other) noexcept : turns_(std::exchange(other.turns_, nullptr)) {}
    Turn& operator=(Turn&& other) noexcept;
    ~Turn() { give_back(); }
    void give_back() noexcept;
    [[nodiscard]] bool held() const { return turns_ != nullptr; }

  private:
    Turns* turns_ = nullptr;
};

class Turns {
  public:
    Turns() = default;
    Turns(const Turns&) = delete;
    Turns& operator=(const Turns&) = delete;
    [[nodiscard]] boost::asio::awaitable<Turn> take();
    [[nodiscard]] bool taken() const { return taken_; }
    [[nodiscard]] std::size_t waiting() const { return queue_.size(); }

  private:
    friend class Turn;
    struct Waiter;
    void pass_on() noexcept;
    bool taken_ = false;
    std::list<Waiter*> queue_;
};

}  // namespace padtrim::engine
