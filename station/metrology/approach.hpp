// A finger that comes and goes: operating distance, differential travel, response time, and whether
// slow changes are followed and fast ones reported.
//
// Pure. Heights in mm above the surface; times in ms. No result is finer than what was resolved:
// each carries the standard uncertainty of the steps between two looks (rectangular). Terms as in
// IEC 60947-5-2 (operating distance, differential travel).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "db/statistics/flaw.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::metrology {

struct HeightReport {
    Millimetre height;
    bool reported = false;
};

struct OperatingDistance {
    Millimetre operate;  // where a falling finger is first reported
    Millimetre release;  // where a rising finger is no longer reported
    Millimetre differential_travel;
    Millimetre operate_standard, release_standard, travel_standard;
    bool within_reach = true;  // false: reported at the first, highest look already
};
// `approach` falls, `withdrawal` rises. Flaws: too_few_points; no_convergence when the touch is
// never reported or never released; out_of_domain when heights run the wrong way.
[[nodiscard]] statistics::Checked<OperatingDistance> operating_distance(
    std::span<const HeightReport> approach, std::span<const HeightReport> withdrawal);

struct TimedReport {
    Millisecond at;
    bool reported = false;
};
struct ResponseTime {
    Millisecond time, standard;
    Millisecond resolution;  // the longest wait between two looks around the change
};
// From reaching the operating distance (at `reached`) to the first report, which lies between two
// looks; below 0 when it came before, as it may within the doubt of `reached`. Flaws: not_finite,
// too_few_points, out_of_domain when the first look reports already or time runs backwards,
// no_convergence when none does.
[[nodiscard]] statistics::Checked<ResponseTime> response_time(Millisecond reached,
                                                              std::span<const TimedReport> reports);

// One move of the finger, and what the product made of it.
struct Approach {
    MillimetrePerSecond speed;
    bool reported = false;
};
struct AdaptationResult {
    bool slow_followed = true;  // no approach at or below the slow speed was reported
    bool fast_reported = true;  // every one at or above the fast speed was
    std::optional<std::size_t> first_wrong;
};
// A slow change must be followed and not reported; a fast one must be reported. Speeds between
// are not judged.
[[nodiscard]] statistics::Checked<AdaptationResult> adaptation(std::span<const Approach> approaches,
                                                               MillimetrePerSecond slow,
                                                               MillimetrePerSecond fast);

// Position along a slider (mm) or around a wheel (degrees): what the product reports against where
// the finger was.
struct PositionReading {
    double truth = 0.0, reported = 0.0;
};
struct PositionLinearity {
    double slope = 0.0, offset = 0.0;  // of reported against true
    double largest = 0.0;              // departure from the best straight line
    double non_linearity = 0.0;        // % of span
    std::size_t where = 0;
};
// Least-squares line. period > 0: positions wrap (360 for a wheel) and are unwrapped in the order
// given. Three points or more.
[[nodiscard]] statistics::Checked<PositionLinearity> position_linearity(
    std::span<const PositionReading> readings, double period = 0.0);

}  // namespace padtrim::metrology
