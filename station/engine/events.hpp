// What the engine tells the faces while a lot runs: progress only. Nothing is decided from events
// and none is the record of anything; the journal is.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "db/record/run.hpp"
#include "db/record/unit_result.hpp"

namespace padtrim::engine {

struct LotOpened {
    std::string lot;
    record::LotCount count;  // not 0 when an open lot goes on
};
// A run that an earlier stop cut off, and what was decided about its unit.
struct RunSettled {
    record::UnfinishedRun run;
    record::Disposition disposition = record::Disposition::undecided;
    std::string reason;
};
struct NestWaiting {
    std::uint16_t nest = 1;
    std::string sentence;  // "Load the next unit."
};
struct UnitIdentified {
    std::uint16_t nest = 1;
    std::string serial;
};
// Said when a step begins and as it goes on.
struct StepProgress {
    std::uint16_t nest = 1;
    std::string serial;
    std::string step;
    std::string key;                      // the one at work, or ""
    std::uint32_t done = 0, of = 0;       // states or keys of this step
    std::chrono::milliseconds unit_left;  // expected time to this unit's verdict
    std::string waits_for{};              // "the finger", which another nest has; "" for nothing
};
// What the unit at work has shown so far: said while a key is touched and when a step ends. Judged
// by the same functions as the verdict, which it does not decide.
struct KeysJudged {
    std::uint16_t nest = 1;
    std::string serial;
    std::vector<record::CheckResult> nearest;  // to its limit, of each key where that has changed
};
// A nest calls for help and loads no unit until a person lets it go on, or closes it.
struct NestPaused {
    std::uint16_t nest = 1;
    std::string sentence;  // "It calls for help: 3 units in a row failed on contact. ..."
};
struct NestResumed {
    std::uint16_t nest = 1;
};
// A step asks the person a question, answered yes or no; open until the step goes on.
struct PersonAsked {
    std::uint16_t nest = 1;
    std::string serial;
    std::string question;
    std::string picture;  // file or address, "" for none
};
struct UnitFinished {
    std::uint16_t nest = 1;
    std::string serial;
    record::UnitResult result;
    record::LotCount count;
};
// A unit that was not run: already passed in this lot, quarantined, and so on.
struct UnitSetAside {
    std::uint16_t nest = 1;
    std::string serial;
    std::string reason, next_step;
    bool of_lot = true;  // false: it only lay in the nest, and the lot does not count it
    record::LotCount count;
};
// A fault that ends the lot (blame fixture) or only concerns a nest.
struct FaultSeen {
    std::uint16_t nest = 0;  // 0: the station
    record::FaultNote fault;
};
struct LotClosed {
    record::LotCount count;
    std::string
        reason;  // "no more units", the end of a permit, "stopped by the operator", or a fault
};

using Event = std::variant<LotOpened, RunSettled, NestWaiting, UnitIdentified, StepProgress,
                           UnitFinished, UnitSetAside, FaultSeen, LotClosed, PersonAsked,
                           NestPaused, NestResumed, KeysJudged>;
using EventSink = std::function<void(const Event&)>;

}  // namespace padtrim::engine
