// A station in memory for engine tests: relay bank, finger, climate sensor, interlock, handlers and
// simple linear units, all exactly as the plan describes them and without a byte on a wire.
//
// Every call of a port takes a little time of the clock and counts; `fail_at` makes the n-th call
// answer with a fault (blame: the unit for calls on units, else the fixture), `each_call` is told
// of each. Units are linear with a little deterministic noise, so that the judge passes good ones.
// One io_context thread.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "fixtures/port/clock.hpp"
#include "fixtures/port/devices.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::test_support {

struct PlainUnit {
    std::string serial;
    std::uint32_t product_code = 0;
    double gain = 400.0, offset = 2000.0;  // of every channel and frequency
    double touch = 350.0;                  // counts
    double noise = 1.5;                    // counts, standard deviation
    bool commit_reaches_memory = true;
    bool holds_writes = true;
    std::uint32_t counter = 0;
    unsigned writes_begun = 0, commits = 0, boots = 0;
    port::TrimRegisters working, in_memory;
};

class PlainStation {
  public:
    PlainStation(port::Clock& clock, language::PlanPtr plan);
    ~PlainStation();

    // Good units "U1".. with nothing in the nests; the handlers load them in this order.
    void fill_magazine(unsigned units);
    PlainUnit& unit(const std::string& serial);
    void put_into(std::uint16_t nest, std::shared_ptr<PlainUnit> unit);
    [[nodiscard]] std::shared_ptr<PlainUnit> in_nest(std::uint16_t nest) const;
    [[nodiscard]] std::shared_ptr<PlainUnit> good_unit(const std::string& serial) const;

    port::RelayBank& relays();
    port::Interlock& interlock();
    port::DummyFinger& finger();
    port::Environment& environment();
    port::PanelUnit& panel(std::uint16_t nest);

    // How a call fails.
    struct Failure {
        port::FaultKind kind = port::FaultKind::no_answer;
        std::optional<port::Blame> blame;  // none: that of the device
    };
    std::size_t calls = 0;
    std::size_t fail_at = 0;  // 0: never
    bool fail_for_good = false;
    Failure failure;
    std::function<void(const std::string& call)> each_call;
    std::size_t stop_at = 0;  // from this call on nothing ever answers: the station was killed
    std::uint16_t silent_nest = 0;  // whose units never answer

    bool guard_open = false;
    std::deque<std::shared_ptr<PlainUnit>> magazine, unloaded;
    std::map<std::string, std::shared_ptr<PlainUnit>> all;

    struct Move {
        std::uint16_t nest = 0;  // 0: lifted
        port::Position to;
    };
    std::vector<Move> moves;
    [[nodiscard]] bool safe() const;  // every coil open, the finger at its safe height
    [[nodiscard]] const std::vector<bool>& coils() const { return coils_; }

  private:
    class Relays;
    class Guard;
    class Finger;
    class Air;
    class Panel;
    [[nodiscard]] port::Task<std::optional<port::Fault>> begin(std::string call, port::Blame blame);
    [[nodiscard]] double load_on(std::uint16_t nest, std::uint16_t channel) const;
    [[nodiscard]] int touched_key(std::uint16_t nest) const;
    void switched(std::uint16_t coil, bool closed);
    [[nodiscard]] bool powered(std::uint16_t nest) const;

    port::Clock& clock_;
    language::PlanPtr plan_;
    std::vector<bool> coils_;
    std::map<std::uint16_t, std::shared_ptr<PlainUnit>> nests_;
    std::map<std::uint16_t, bool> test_mode_;
    port::Position at_;
    std::unique_ptr<Relays> relays_;
    std::unique_ptr<Guard> guard_;
    std::unique_ptr<Finger> finger_;
    std::unique_ptr<Air> air_;
    std::map<std::uint16_t, std::unique_ptr<Panel>> panels_;
};

}  // namespace padtrim::test_support
