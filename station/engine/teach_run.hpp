// Teaching where a nest lies under the finger: a person jogs, keys are searched by their counts.
//
//   begin() -> jog() and find() in any order -> end()
//
// begin() makes sure of the fixture, opens all relays, homes the finger and lifts it, loads a unit
// where the fixture has a handler, powers it without pins and freezes its firmware in test mode.
// find() holds the finger at the wished height over places around the key and looks at the counts
// there (metrology/centre_search.hpp); between two places it rises to the safe height, as every
// sideways way does. Nothing is written to the unit. end() is the way out of whatever state that
// is: finger lifted unless motion is not permitted, supply off.
//
// CAUTION: this moves the finger and puts power on a unit. Every act that moves asks the interlock
// of `parts` (a MotionPermit in production) before and during motion and ends with its fault.
// Threading: one io_context; one act at a time. Everything handed in outlives the run.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "station/engine/act.hpp"
#include "station/engine/lot_run.hpp"
#include "station/metrology/centre_search.hpp"

namespace padtrim::engine {

inline constexpr Millimetre most_jog{10.0};

struct TeachWish {
    std::uint16_t nest = 1;
    Millimetre height{1.0};  // of a search, above the profile's surface
    Millimetre step{4.0}, resolution{0.5};
    unsigned scans = 8;  // a look
};

// What a search has just seen.
struct TeachLook {
    std::string key;
    port::Position at;
    double change = 0.0;  // counts, summed over the key's channels and frequencies
};

class TeachRun {
  public:
    TeachRun(const Parts& parts, const language::Plan& plan, TeachWish wish,
             std::function<void(const TeachLook&)> looked = {});
    ~TeachRun();
    TeachRun(const TeachRun&) = delete;
    TeachRun& operator=(const TeachRun&) = delete;

    [[nodiscard]] Act<void> begin();
    // Over its whole travel and up, when it lost its place; else nothing moves.
    [[nodiscard]] Act<void> home();
    // By so much from where it stands; sideways over the safe height, and back down. Refused: more
    // than most_jog along an axis, and ends below the profile's surface. position_lost where the
    // finger does not know its place.
    [[nodiscard]] Act<port::Position> jog(port::Position by);
    [[nodiscard]] Act<port::Position> where();
    // From this place of the finger's coordinates, or from where the profile has the key. Faults
    // besides the devices': refused, with what is wrong with the search.
    [[nodiscard]] Act<metrology::FoundCentre> find(std::string key,
                                                   std::optional<metrology::Spot> start);
    // A search that runs ends before its next look, and later ones do not begin.
    void give_up();
    [[nodiscard]] Act<void> end();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace padtrim::engine
