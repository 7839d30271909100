// The system of equations behind a channel's line: one row a state, unknowns intercept, gain and,
// where open states bracket the others, drift. Internal to the fit of a line; pure.
#pragma once

#include <cstddef>
#include <span>

#include <boost/container/small_vector.hpp>

#include "db/statistics/least_squares.hpp"
#include "station/metrology/channel_line.hpp"

namespace padtrim::metrology {

struct Frame {
    std::size_t unknowns = 2;
    double middle = 0.0, half = 1.0;  // time column runs from -1 to 1
    double nearest_gain = 0.0;        // before the fit, to scale reference errors with
    statistics::Numbers<48> design;
    statistics::Numbers<16> observed;
    boost::container::small_vector<int, 16> group;  // states that share one reference's error
    statistics::Numbers<8> group_size;              // by group
};
using SeenSteps = boost::container::small_vector<const TipStep*, 8>;

[[nodiscard]] std::size_t open_states(std::span<const LinePoint> points);
[[nodiscard]] std::size_t different_steps(std::span<const LinePoint> points);
[[nodiscard]] Frame frame_of(std::span<const LinePoint> points);

// Rounding of quiet counts repeats when a state repeats. Of m states of a group, each has the
// rounding by itself and shares this part, so that the mean of the group is no better than one.
[[nodiscard]] double shared_rounding(double rounding, double group_size);

// What the points of one group share: the reference's own error, and its rounding.
[[nodiscard]] double shared_variance(const LinePoint& p, int group, const Frame& frame,
                                     double rounding);

// What a state has by itself: scatter, rounding, and wiring that moved as the relay closed.
[[nodiscard]] double own_variance(const LineInput& input, const LinePoint& p, double gain);

[[nodiscard]] statistics::Checked<statistics::Generalised> fitted(const LineInput& input,
                                                                  const Frame& frame);

}  // namespace padtrim::metrology
