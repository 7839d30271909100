// What the daemon has while a lot or a shift check runs; for daemon*.cpp alone.
#pragma once

#include <cstdint>
#include <memory>

#include "station/engine/shift_run.hpp"
#include "station/main/daemon.hpp"

namespace padtrim {

struct Daemon::Running {
    std::unique_ptr<FixturePorts> ports;
    std::unique_ptr<Hands> hands;
    std::unique_ptr<PersonAtHand> person;
    std::unique_ptr<engine::LotRun> run;  // or:
    std::unique_ptr<engine::ShiftRun> check;

    void stop_loading() const {
        if (run) run->stop_loading();
        if (check) check->stop_loading();
        hands->close();
    }
    // A check without one of its units decides nothing: it ends.
    void abort(std::uint16_t nest) const {
        if (run) run->abort_unit(nest);
        if (check) check->abort();
    }
};

}  // namespace padtrim
