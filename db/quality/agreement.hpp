// Bias over the measuring range, and the agreement of two stations on the same units. Pure.
//
//   bias over range   a straight line of (reading - reference) over the reference (AIAG Measurement
//                     Systems Analysis, 4th ed., linearity); Student's tests of slope and offset
//   agreement         mean difference of pairs, and limits that hold 95 % of them:
//                     mean +- 1.96 s, each with its interval (Bland and Altman, Lancet 327 (1986)
//                     307 and Stat. Methods Med. Res. 8 (1999) 135). Not shown different is not
//                     shown alike: `alike_within` says alike only when the whole interval of the
//                     mean difference lies inside the stated allowance.
//
// Flaws: those of lines; too_few_points below 3 pairs, sizes_differ, not_finite, not_positive where
// all differences are equal.
#pragma once

#include <span>

#include "db/statistics/straight_line.hpp"

namespace padtrim::quality {

struct BiasOverRange {
    statistics::StraightLine line;  // bias over reference
    double slope_significance = 1.0, offset_significance = 1.0;
    double mean_bias = 0.0;
    double largest_bias = 0.0;  // of the line, at an end of the range; signed
};
[[nodiscard]] statistics::Checked<BiasOverRange> bias_over_range(std::span<const double> references,
                                                                 std::span<const double> readings);

struct Bounded {
    double value = 0.0, low = 0.0, high = 0.0;
};
struct Agreement {
    std::size_t pairs = 0;
    Bounded difference;               // mean of a - b
    double deviation = 0.0;           // of one difference
    double significance = 1.0;        // of the mean difference, paired t
    Bounded lower, upper;             // limits of agreement
    double trend_significance = 1.0;  // does the difference go with the size of what is measured?
    [[nodiscard]] bool alike_within(double allowance) const {
        return difference.low > -allowance && difference.high < allowance;
    }
};
[[nodiscard]] statistics::Checked<Agreement> agreement_of(std::span<const double> a,
                                                          std::span<const double> b,
                                                          double coverage = 0.95);

}  // namespace padtrim::quality
