#include "station/engine/motion_permit.hpp"

#include <utility>

namespace padtrim::engine {

using port::Outcome;
using port::Task;

MotionPermit::MotionPermit(port::Clock& clock, std::unique_ptr<port::Interlock> interlock,
                           std::chrono::milliseconds lease)
    : clock_(clock), interlock_(std::move(interlock)), lease_(lease) {
    withdraw("Nobody has said yet that the finger may move.");
}

Task<Outcome<void>> MotionPermit::grant() {
    withdrawn_.reset();
    ends_ = clock_.now();  // granted when the interlock has answered
    if (interlock_ != nullptr) {
        interlock_->reset();
        Outcome<void> closed = co_await interlock_->closed();
        if (!closed && !withdrawn_) withdrawn_ = closed.error();
    }
    if (withdrawn_) co_return *withdrawn_;
    ends_ = clock_.now() + lease_;
    co_return Outcome<void>();
}

bool MotionPermit::granted() const {
    return !withdrawn_ && clock_.now() < ends_;
}

void MotionPermit::renew() {
    if (granted()) ends_ = clock_.now() + lease_;
}

void MotionPermit::withdraw(const std::string& why) {
    if (withdrawn_) return;  // what came first is what a person has to know
    withdrawn_ =
        port::Fault{port::FaultKind::interlock_open, port::Blame::fixture, "permit to move", why};
}

std::chrono::nanoseconds MotionPermit::left() const {
    return granted() ? ends_ - clock_.now() : std::chrono::nanoseconds(0);
}

Task<Outcome<void>> MotionPermit::look() {
    if (interlock_ == nullptr) co_return Outcome<void>();
    Outcome<void> now = co_await interlock_->look();
    co_return now;
}

Task<Outcome<void>> MotionPermit::closed() {
    if (!granted())  // what withdrew it before stays
        withdraw("Nothing was heard from the person for " +
                 std::to_string(std::chrono::duration_cast<std::chrono::seconds>(lease_).count()) +
                 " s, so the finger may not move any more.");
    if (withdrawn_) co_return *withdrawn_;
    if (interlock_ == nullptr) co_return Outcome<void>();
    Outcome<void> closed = co_await interlock_->closed();
    if (!closed && !withdrawn_) withdrawn_ = closed.error();
    if (withdrawn_) co_return *withdrawn_;  // by a person, too, while the interlock was asked
    co_return closed;
}

}  // namespace padtrim::engine
