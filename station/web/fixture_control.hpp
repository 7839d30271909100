// What HTTP may ask of a station's fixture while no lot runs: one person holds it for some seconds
// at a time, connects reference steps and moves the finger by hand (engine/hand_run.hpp).
//
// The daemon implements it; all calls come from the daemon's io_context and return at once: an act
// that was accepted goes on by itself, and hold() tells what came of it. A lease is a word that
// nobody can guess, known to whoever took the fixture.
#pragma once

#include <string>

#include "station/answers/fixture_sheet.hpp"
#include "station/web/station_control.hpp"

namespace padtrim::web {

// The lease is there when it was accepted.
struct Taken {
    Decision decision;
    std::string lease;
};

// A reference of "" opens what is connected.
struct ConnectWish {
    std::uint16_t nest = 1, channel = 0;
    std::string reference;
};

enum class FingerAct { home, lift, step, over };
struct FingerWish {
    FingerAct act = FingerAct::lift;
    port::Position by;       // of a step
    std::uint16_t nest = 0;  // of a key that it goes over
    std::string key;
};

class FixtureControl {
  public:
    virtual ~FixtureControl() = default;
    [[nodiscard]] virtual answers::FixtureSheet sheet() const = 0;
    [[nodiscard]] virtual answers::FixtureHold hold() const = 0;
    virtual Taken take(std::string person) = 0;
    // Its holder is still there.
    virtual Decision renew(const std::string& lease) = 0;
    virtual Decision give_back(const std::string& lease) = 0;
    // Ends whoever's hold; nobody needs a lease to stop a finger.
    virtual Decision stop(std::string person) = 0;
    virtual Decision connect(const std::string& lease, ConnectWish wish) = 0;
    virtual Decision move(const std::string& lease, FingerWish wish) = 0;
};

}  // namespace padtrim::web
