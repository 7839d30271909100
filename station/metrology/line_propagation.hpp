// How errors of the states become errors of gain and offset. Internal to the fit of a line; pure.
#pragma once

#include "station/metrology/line_frame.hpp"

namespace padtrim::metrology {

// Error of (gain, offset) by one source that moves the observations by `error`.
struct Shift {
    double gain = 0.0, offset = 0.0;
};
inline PairCovariance squared(Shift s) {
    return {s.gain * s.gain, s.offset * s.offset, s.gain * s.offset};
}
inline void add(PairCovariance& to, const PairCovariance& more) {
    to.gain += more.gain;
    to.offset += more.offset;
    to.both += more.both;
}

class Propagation {
  public:
    Propagation(const LineInput& input, const Frame& frame, const statistics::Generalised& fit)
        : input_(input), frame_(frame), fit_(fit), n_(input.points.size()) {}

    // Every state by itself.
    template <class Variance>
    [[nodiscard]] PairCovariance independent(Variance variance) const {
        PairCovariance sum;
        for (std::size_t i = 0; i < n_; ++i) {
            PairCovariance one = squared(weight(i));
            const double v = variance(input_.points[i]);
            add(sum, {one.gain * v, one.offset * v, one.both * v});
        }
        return sum;
    }
    // The same error in all states of a group; `size` gives its standard deviation there.
    template <class Size>
    [[nodiscard]] PairCovariance by_group(Size size) const {
        PairCovariance sum;
        for (std::size_t g = 0; g < frame_.group_size.size(); ++g) {
            Shift shift;
            for (std::size_t i = 0; i < n_; ++i) {
                if (frame_.group[i] != static_cast<int>(g)) continue;
                const Shift w = weight(i);
                const double e = size(input_.points[i], frame_.group_size[g]);
                shift.gain += w.gain * e;
                shift.offset += w.offset * e;
            }
            add(sum, squared(shift));
        }
        return sum;
    }
    // One error that moves all states together.
    template <class Size>
    [[nodiscard]] PairCovariance common(Size size) const {
        return squared(shift(size));
    }
    // By which gain and offset move when the states are moved so.
    template <class Size>
    [[nodiscard]] Shift shift(Size size) const {
        Shift sum;
        for (std::size_t i = 0; i < n_; ++i) {
            const Shift w = weight(i);
            const double e = size(input_.points[i]);
            sum.gain += w.gain * e;
            sum.offset += w.offset * e;
        }
        return sum;
    }

  private:
    // The offset is the intercept less gain times the fixture's part.
    [[nodiscard]] Shift weight(std::size_t i) const {
        const double gain = fit_.map[n_ + i];
        return {gain, fit_.map[i] - input_.part.value * gain};
    }
    const LineInput& input_;
    const Frame& frame_;
    const statistics::Generalised& fit_;
    std::size_t n_;
};

}  // namespace padtrim::metrology
