// Looks at guard and emergency stop while nothing runs, for as long as somebody watches.
//
//   asleep --watched()--> looking, once a second --nobody watched for a while--> asleep
//                            |  ^-- watched()
//                            '-- give_way() --> waiting: no look until it is watched again
//
// A look has the relay board's port for itself, so it opens it and lets it go again each time:
// between two looks whoever wants the fixture has it, and give_way() ends one in mid-exchange. What
// the board still owes to such a look, or to one that met silence, has come to nobody after
// settled(). Nothing is moved or switched by a look. CAUTION: what it says is for a person who is
// about to start something; it is never the safety function, and a start asks the interlock itself.
// Threading: one io_context thread. The clock outlives it.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>

#include <boost/asio/any_io_executor.hpp>

#include "fixtures/port/clock.hpp"
#include "fixtures/port/devices.hpp"

namespace padtrim::engine {

enum class AtRest { clear, guard_open, stop_pressed };

// One look, with the port that it needs; the port is free again when it is gone.
class RestLook {
  public:
    virtual ~RestLook() = default;
    [[nodiscard]] virtual port::Task<port::Outcome<AtRest>> look() = 0;
    // The port is free when this returns; look() ends with `cancelled`.
    virtual void let_go() = 0;
};
using OpenRestLook = std::function<port::Outcome<std::unique_ptr<RestLook>>()>;

struct RestFinding {
    AtRest state = AtRest::clear;
    std::string fault;  // why nobody can tell, a sentence; "" where somebody can
    friend bool operator==(const RestFinding&, const RestFinding&) = default;
};

class RestWatch {
  public:
    static constexpr std::chrono::milliseconds pace{1000};
    // Whoever watches says so at least this often (a page is sent its state every 3 s).
    static constexpr std::chrono::milliseconds attention{5000};

    // `open` may be empty: there is nothing to look at. `owed`: how long the board may still answer
    // a request that nobody waits for. `changed` is called when found() is another.
    RestWatch(boost::asio::any_io_executor executor, port::Clock& clock, OpenRestLook open,
              std::chrono::nanoseconds owed, std::function<void()> changed);
    ~RestWatch();
    RestWatch(const RestWatch&) = delete;
    RestWatch& operator=(const RestWatch&) = delete;

    // Nothing runs, and somebody sees what is found.
    void watched() const;
    // The newest; a fault is told when two looks in a row met one.
    [[nodiscard]] const RestFinding& found() const;
    // Something is about to use the fixture: its ports are free when this returns.
    void give_way() const;
    // To be awaited before a port that was given way is talked on.
    [[nodiscard]] port::Task<void> settled() const;
    // No look any more.
    void end() const;

  private:
    struct State;
    [[nodiscard]] static port::Task<void> look_on(std::shared_ptr<State> state);
    std::shared_ptr<State> state_;
};

}  // namespace padtrim::engine
