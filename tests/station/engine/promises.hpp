// What must hold after any lot, whatever went wrong in it; compared with what the units really
// hold.
#pragma once

#include <algorithm>
#include <string>

#include "tests/station/engine/rig.hpp"

namespace padtrim::engine::testing {

// Every broken promise as a line; "" when all hold.
class Promises {
  public:
    explicit Promises(const Rig& rig) : rig_(rig) {}

    // A unit whose run a stop cut off before anything was written may have a second one.
    Promises& with_stops() {
        stops_ = true;
        return *this;
    }
    [[nodiscard]] std::string broken() {
        for (const auto& run : rig_.journal.runs) of_run(run);
        for (const auto& [serial, unit] : rig_.station.all) of_unit(*unit);
        return lines_;
    }

  private:
    void of_run(const support::MemoryJournal::Run& run) {
        const std::string who = "run of '" + run.start.serial + "': ";
        if (!run.has_ended()) {
            if (!store_failed()) say(who + "never ended");
            return;
        }
        const bool wrote = run.intent.has_value();
        const bool proven = run.stage() == record::WriteStage::verified;
        if (wrote && !proven && run.disposition != record::Disposition::quarantined)
            say(who + "written and not proven, but not quarantined");
        if (run.verdict() == record::Verdict::pass && !proven) say(who + "passed without proof");
        if (run.disposition == record::Disposition::released && !proven)
            say(who + "released without proof");
        if (run.unit && run.unit->observations.aborted &&
            run.verdict() != record::Verdict::no_verdict)
            say(who + "aborted, but has a verdict");
    }

    void of_unit(const test_support::PlainUnit& unit) {
        const auto runs =
            std::count_if(rig_.journal.runs.begin(), rig_.journal.runs.end(), [&](const auto& run) {
                return run.start.serial == unit.serial && !(stops_ && run.settled && !run.intent);
            });
        if (runs > 1) say(unit.serial + ": run twice");
        const auto* run = rig_.last_run(unit.serial);
        if (unit.writes_begun > 0 && (run == nullptr || !run->intent))
            say(unit.serial + ": written without an intent");
        if (run == nullptr || run->disposition != record::Disposition::released) return;
        if (unit.in_memory.gain != run->intent->to_write.gain ||
            unit.in_memory.offset != run->intent->to_write.offset)
            say(unit.serial + ": released, but does not hold its trims");
    }

    [[nodiscard]] bool store_failed() const {
        const auto faults = rig_.told<FaultSeen>();
        return std::any_of(faults.begin(), faults.end(), [](const FaultSeen& seen) {
            return seen.fault.device == "file of records";
        });
    }
    void say(const std::string& line) { lines_ += line + "\n"; }

    const Rig& rig_;
    bool stops_ = false;
    std::string lines_;
};

}  // namespace padtrim::engine::testing
