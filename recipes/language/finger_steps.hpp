// Steps in which the finger's height, speed or path matters. Plain values, alternatives of StepBody
// (recipe.hpp). Heights are above the surface of a nominal overlay.
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "recipes/quantity/quantity.hpp"

namespace padtrim::language {

// Counts against height in test mode, from which the unit's own surface is found; then where the
// product itself reports the finger and where it lets go.
struct ApproachStep {
    std::vector<std::string> keys;  // empty: all
    Millimetre from{2.0};           // highest look
    Millimetre interval{0.1};       // of the curve, and what the operating distance is told to
    unsigned scans = 8;             // at each height
    std::chrono::milliseconds hold{100};  // at each height, for the report
    Interval<Millimetre> surface;         // found, against the nominal one
    Interval<Millimetre> operating_distance;
    Interval<Millimetre> differential_travel;
    friend bool operator==(const ApproachStep&, const ApproachStep&) = default;
};

// From reaching the operating distance, found by an approach curve before, to the report.
struct ResponseStep {
    std::vector<std::string> keys;
    Millimetre from{10.0};
    MillimetrePerSecond speed{50.0};
    unsigned repeats = 3;
    Interval<Millisecond> response_time;
    friend bool operator==(const ResponseStep&, const ResponseStep&) = default;
};

// What the product has to make of an approach.
enum class Expect { reported, silent };

// One approach at a stated speed: firmware that follows its resting level may swallow it.
struct SlowApproachStep {
    std::vector<std::string> keys;
    Millimetre from{5.0};
    MillimetrePerSecond speed{1.0};
    Expect expect = Expect::reported;
    friend bool operator==(const SlowApproachStep&, const SlowApproachStep&) = default;
};

// Pads that feel from afar: response at a height, and how far they report.
struct ProximityStep {
    std::vector<std::string> keys;  // empty: all of kind proximity
    std::string target;             // of the fixture; "" for the bare finger
    Millimetre from{60.0};          // farthest look, and where the response counts from
    Millimetre height{20.0};        // at which the response is stated
    Millimetre interval{1.0};       // what the operating distance is told to
    unsigned scans = 16;
    std::chrono::milliseconds hold{200};
    Interval<Counts> response;
    Interval<Millimetre> operating_distance;
    friend bool operator==(const ProximityStep&, const ProximityStep&) = default;
};

// The finger at places along sliders and around wheels, and where the product sees it.
struct SweepStep {
    std::vector<std::string> keys;    // empty: all sliders and wheels
    unsigned points = 9;              // along each
    Interval<Percent> non_linearity;  // of the reported position, of span
    Interval<Millimetre> position_error;
    friend bool operator==(const SweepStep&, const SweepStep&) = default;
};

// A target moved across the panel in a plane above it.
struct HoverStep {
    std::string target;  // of the fixture; "" for the bare finger
    Millimetre height{50.0};
    MillimetrePerSecond speed{100.0};
    Expect expect = Expect::silent;
    friend bool operator==(const HoverStep&, const HoverStep&) = default;
};

enum class PlacedBy { finger, person };

// Water on the panel must not be taken for a finger.
struct WetPanelStep {
    std::string target;             // the water phantom, of the fixture
    std::vector<std::string> keys;  // where the finger puts it; empty: on each key in turn
    PlacedBy placed_by = PlacedBy::finger;
    std::chrono::milliseconds watch{1000};  // at each place
    friend bool operator==(const WetPanelStep&, const WetPanelStep&) = default;
};

}  // namespace padtrim::language
