// Reading every tip of a fixture with the meter, for the characterisation of its references.
//
//   the right fixture? -> each nest: open all -> open standard -> short standard -> each tip, pins
//   off -> pins down (they move!) -> each tip: each reference: open, closed, open, as often as told
//   -> open all
//
// The adapter lies in the nest in a unit's place; no supply is switched on and no finger moves.
// References and pins are opened on every way out. Faults are those of relays and meter; the first
// ends it. One io_context.
#pragma once

#include <functional>

#include "station/engine/act.hpp"
#include "station/metrology/characterisation.hpp"

namespace padtrim::engine {

struct ReferenceRun {
    const language::FixtureProfile* profile = nullptr;  // with a meter; outlives the run
    port::RelayBank* relays = nullptr;
    port::Meter* meter = nullptr;
    port::Interlock* interlock = nullptr;  // may be null; read before pins and each tip
    unsigned repeats = 5;
    // Before each tip is read with its pins down: how many of how many.
    std::function<void(std::size_t done, std::size_t all)> progress;
};

[[nodiscard]] Act<std::vector<metrology::TipReadings>> read_tips(ReferenceRun run);

}  // namespace padtrim::engine
