// Whether the finger may be moved by hand: a person's lease and the interlock, both.
//
//   withdrawn --grant()--> leased --nothing heard for the lease's time--> withdrawn
//                            |  ^-- renew()
//                            '-- withdraw(), an interlock opens, or its link fails --> withdrawn
//
// It stands in the interlock's place, so that the finger asks it before each move and at each look
// while one lasts: what withdraws it in mid-motion is answered by the finger's stop within one
// look. It stays withdrawn, whatever the interlock says later, until a person grants it again.
// CAUTION: a lease is a convenience of software and never the safety function; it is no
// hold-to-run device. Threading: one io_context thread. `clock` outlives it.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>

#include "fixtures/port/clock.hpp"
#include "fixtures/port/devices.hpp"

namespace padtrim::engine {

class MotionPermit final : public port::Interlock {
  public:
    // `interlock` may be null. Nothing is granted yet.
    MotionPermit(port::Clock& clock, std::unique_ptr<port::Interlock> interlock,
                 std::chrono::milliseconds lease);
    // A person says that it is safe: where the interlock agrees the lease begins, and what withdrew
    // it before is forgotten. Faults: those of the interlock; interlock_open, too, where somebody
    // withdraws while it is asked.
    [[nodiscard]] port::Task<port::Outcome<void>> grant();
    // The person is still there. Does not bring a lease back that is over.
    void renew();
    // `why` is a sentence.
    void withdraw(const std::string& why);
    [[nodiscard]] bool granted() const;
    [[nodiscard]] std::chrono::nanoseconds left() const;

    // Faults: interlock_open, with what withdrew it; those of the interlock.
    [[nodiscard]] port::Task<port::Outcome<void>> closed() override;
    [[nodiscard]] port::Task<port::Outcome<void>> look() override;

  private:
    port::Clock& clock_;
    std::unique_ptr<port::Interlock> interlock_;
    std::chrono::milliseconds lease_;
    port::Instant ends_{};
    std::optional<port::Fault> withdrawn_;
};

}  // namespace padtrim::engine
