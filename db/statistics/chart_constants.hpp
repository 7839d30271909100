// Constants of control charts for subgroups of n normal values, n = 2 to 25 (ISO 7870-2, ASTM
// E2587; d2 and d3 from db/statistics/range.hpp).
//
//   c4 = sqrt(2 / (n-1)) G(n/2) / G((n-1)/2)       mean of s, in sigma
//   A2 = 3 / (d2 sqrt n), A3 = 3 / (c4 sqrt n)     limits of a mean, from mean range and mean s
//   D3, D4 = 1 -+ 3 d3/d2, B3, B4 = 1 -+ 3 sqrt(1 - c4^2) / c4, never below 0
//
// Pure and thread safe. Flaws: too_few_points below 2, out_of_domain above 25.
#pragma once

#include <cstddef>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct ChartConstants {
    double d2 = 0.0, d3 = 0.0, c4 = 0.0;
    double A2 = 0.0, A3 = 0.0;
    double D3 = 0.0, D4 = 0.0;
    double B3 = 0.0, B4 = 0.0;
};
[[nodiscard]] Checked<ChartConstants> chart_constants(std::size_t n);

// c4 for any degrees of freedom, n - 1 of them in one subgroup: the mean of s, in sigma. Flaws:
// not_finite, out_of_domain for degrees that are not positive.
[[nodiscard]] Checked<double> mean_of_deviation(double degrees);

// d2* = sqrt(d2^2 + d3^2 / g): the mean of g ranges of n values divided by it has sigma^2 as mean
// square (Duncan, Quality Control and Industrial Statistics, Table D3; AIAG MSA, 4th ed., appendix
// C).
[[nodiscard]] Checked<double> d2_of_ranges(std::size_t n, std::size_t ranges);

}  // namespace padtrim::statistics
