// Writing trims into a unit so that it is never left ambiguous.
//
//   as found -> intent durable -> write -> read back, compare -> commit -> power off -> on ->
//   read again -> verify -> proven
//
// Each act that reached its end is recorded in the journal before the next begins, so that after a
// stop at any moment the record says at least how far the unit may have got; only the intent goes
// before its act. What was to be written is an observation from the intent on: whatever ends the
// run after it, the judge sees that the unit was written to and not verified. Every act takes a
// Workstand with the unit in it and returns the first fault. A store fault comes back as the fault
// `refused` of the device "file of records"; then nothing more is written to the unit. Threading:
// the lot's io_context. Cancellation: acts on the unit can be cancelled, the journal's calls run to
// their end.
#pragma once

#include <array>
#include <functional>

#include "db/journal/journal.hpp"
#include "station/engine/records.hpp"
#include "station/engine/workstand.hpp"

namespace padtrim::engine {

// Before and after every durable or physical act, in order; WriteBackPoint is called with each.
inline constexpr std::array write_back_points{
    "before reading as found",
    "after reading as found",
    "before the intent",
    "after the intent",
    "before writing",
    "after writing",
    "after recording written",
    "after reading back",
    "after recording read back",
    "before committing",
    "after committing",
    "after recording committed",
    "before power off",
    "after power off",
    "after power on",
    "after reading after power-off",
    "after recording power-cycled",
    "before verifying",
    "after verifying",
    "after recording verified",
    "before storing the result",
    "after storing the result",
};

class WriteBack {
  public:
    WriteBack(Workstand& at, Records& records, port::WallClock& wall_clock, WriteBackPoint point);
    // A new run: nothing is intended.
    void begin(record::RunId run);
    [[nodiscard]] record::WriteStage stage() const { return stage_; }
    void pass(const char* point) const;  // one of write_back_points

    [[nodiscard]] Act<void> read_as_found();
    [[nodiscard]] Act<void> intend(port::TrimRegisters trims);
    [[nodiscard]] Act<void> write();
    // Notes what the unit holds now; whether that is what was written. If not, nothing more is done
    // to the unit.
    [[nodiscard]] Act<bool> read_back();
    [[nodiscard]] Act<void> commit();
    [[nodiscard]] Act<void> power_cycle(std::chrono::milliseconds off_time);
    [[nodiscard]] Act<void> proven();

  private:
    [[nodiscard]] Act<void> reached(record::WriteStage stage, const char* point);
    Workstand& at_;
    Records& records_;
    port::WallClock& wall_clock_;
    WriteBackPoint point_;
    record::RunId run_ = 0;
    record::WriteStage stage_ = record::WriteStage::untouched;
    port::TrimRegisters to_write_;
};

}  // namespace padtrim::engine
