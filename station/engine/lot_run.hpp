// One lot on one station: a coroutine per nest walks the plan, shared resources are taken in turn.
//
//   right fixture? (its coded inputs, before anything moves) -> open lot ->
//   settle runs that a stop cut off -> relays open, finger lifted (it moves!) ->
//   for each nest until no more units:
//     load -> power -> identify -> steps of the plan -> (write-back) -> safe state -> judge ->
//     remember
//
// Write-back: intend (durable) -> write -> read back -> commit -> power off and on -> verify.
// An abort before the intent gives "no verdict" and leaves the unit untouched; after it the unit is
// quarantined. Every way out of a unit ends in the safe state: references open, pins off, finger
// lifted, supply off; after an emergency stop or an open guard no motion is commanded.
// Threading: everything runs on the caller's io_context. The parts outlive the run.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "db/journal/journal.hpp"
#include "fixtures/port/clock.hpp"
#include "fixtures/port/devices.hpp"
#include "recipes/language/plan.hpp"
#include "station/engine/events.hpp"
#include "station/engine/person.hpp"

namespace padtrim::engine {

struct NestParts {
    std::uint16_t number = 1;
    port::PanelUnit* unit = nullptr;
};

// Where log lines go; the wiring hands in a spdlog logger's methods.
enum class LogLevel { debug, info, warning, error };
using Log = std::function<void(LogLevel, const std::string&)>;

struct Parts {
    port::Clock* clock = nullptr;
    port::WallClock* wall_clock = nullptr;
    port::RelayBank* relays = nullptr;
    port::Interlock* interlock = nullptr;      // may be null
    port::DummyFinger* finger = nullptr;       // may be null
    port::Environment* environment = nullptr;  // may be null
    Person* person = nullptr;                  // may be null: nobody to ask
    std::vector<NestParts> nests;
    journal::Journal* journal = nullptr;
    Log log;
};

struct LotOptions {
    std::string lot;
    std::string station;
    std::string operator_name;
    std::uint32_t units =
        0;  // the lot's size, earlier ones of an open lot included; 0: all that come
    bool measure_only = false;               // nothing is written to a unit
    bool again = false;                      // units that passed in another lot, too
    std::optional<std::uint16_t> only_nest;  // the others are left as they are
    bool goes_on = false;  // a part of what a person began earlier: a lost finger stays where it is
    bool shift_check = false;  // the units are the profile's check standards, and none else is run
    record::StationReadiness readiness;
    record::Permission permission;
    // Ends of a permit: units that may still be loaded, and the time from which none is.
    std::optional<std::uint32_t> permitted_units;
    std::optional<record::WallTime> permitted_until;
};

struct LotOutcome {
    record::LotCount count;
    bool station_fault = false;  // of station or fixture; a person has to look at it
    std::string reason;          // one sentence
};

// A person loads where the profile has no handler: resolves with the scanned label when the unit
// lies in the nest, or with nothing when no more come.
using AskForUnit = std::function<boost::asio::awaitable<std::optional<std::string>>(std::uint16_t)>;

// Called at each named point of the write-back, before and after every durable or physical act;
// crash tests kill the process in it. Empty in production wiring unless asked for.
using WriteBackPoint = std::function<void(const char* name)>;

class LotRun {
  public:
    LotRun(Parts parts, language::PlanPtr plan, LotOptions options, EventSink sink,
           AskForUnit ask = {}, WriteBackPoint point = {});
    ~LotRun();
    LotRun(const LotRun&) = delete;
    LotRun& operator=(const LotRun&) = delete;

    // Runs to the lot's end; never throws for faults of units or fixtures. Once a run. Cancelling
    // it stops loading and aborts every unit at work; it still ends in the safe state.
    [[nodiscard]] boost::asio::awaitable<LotOutcome> run();
    // The unit in this nest gets no verdict; after the intent it is quarantined.
    void abort_unit(std::uint16_t nest);
    // No new units are loaded; running ones end in order.
    void stop_loading();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace padtrim::engine
