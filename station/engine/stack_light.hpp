// The stack light and its buzzer, driven as the lot's condition changes.
//
// Green: the lot runs. Yellow: a person is needed. Red: a fault that a person has to look at. The
// buzzer sounds for its time when yellow or red comes on. A relay that does not follow is logged
// once and stops nothing: a lamp is no part of a measurement, and never a safety function.
// Threading: the lot's io_context. Everything handed in outlives it.
#pragma once

#include <memory>
#include <optional>
#include <set>

#include "fixtures/port/clock.hpp"
#include "fixtures/port/devices.hpp"
#include "station/engine/act.hpp"
#include "station/engine/lot_run.hpp"

namespace padtrim::engine {

struct LotCondition {
    bool running = false;
    bool person_needed = false;
    bool fault = false;
    friend bool operator==(const LotCondition&, const LotCondition&) = default;
};

// Follows a lot by its events. Pure.
class ConditionOfLot {
  public:
    // False when nothing changed.
    bool take(const Event& event);
    [[nodiscard]] LotCondition now() const { return {running_, !asking_.empty(), fault_}; }

  private:
    std::set<std::uint16_t> asking_;  // nests
    bool running_ = false, fault_ = false;
};

struct Lamps {
    bool green = false, yellow = false, red = false;
    friend bool operator==(const Lamps&, const Lamps&) = default;
};
// Pure. With a fault the green one is off, whatever still runs to its end.
[[nodiscard]] Lamps lamps_of(const LotCondition& condition);
// Whether the buzzer begins.
[[nodiscard]] bool calls(const Lamps& before, const Lamps& now);

class StackLightDriver {
  public:
    StackLightDriver(const std::optional<language::StackLight>& light, port::RelayBank& relays,
                     port::Clock& clock, Log log);
    ~StackLightDriver();
    StackLightDriver(const StackLightDriver&) = delete;
    StackLightDriver& operator=(const StackLightDriver&) = delete;

    // At once; the lamps follow.
    void show(const LotCondition& condition);
    // Switches nothing from its return until all_went_out(): all relays are opened meanwhile and
    // looked at, and a lamp that came on then would be taken for a stuck one.
    [[nodiscard]] port::Task<void> rest();
    // All relays were opened: the lamps have to be lit anew.
    void all_went_out();
    // After this run() ends as soon as the lamps show the last condition and the buzzer is silent.
    void close();
    // Drives the lamps; ends after close(). Returns at once without a stack light.
    [[nodiscard]] port::Task<void> run();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace padtrim::engine
