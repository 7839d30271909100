// The control chart for individual values: centre and limits from a baseline of single values in
// the order they came (ISO 7870-2, individuals and moving range; recomputed on the NIST/SEMATECH
// e-Handbook 6.3.2.2 example).
//
//   sigma = mean moving range of two / d2(2), d2(2) = 2/sqrt(pi) = 1.128; limits = mean +- 3 sigma
//
// Pure and thread safe. Flaws: too_few_points below two values, not_finite, out_of_domain.
#pragma once

#include <cstddef>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct IndividualsChart {
    double centre = 0.0;
    double moving_range = 0.0;  // mean
    double sigma = 0.0;
    double low = 0.0, high = 0.0;  // centre -+ 3 sigma
};
[[nodiscard]] Checked<IndividualsChart> individuals_chart(std::span<const double> values);

[[nodiscard]] Checked<double> mean_moving_range(std::span<const double> values);

// How many degrees of freedom a sigma from the moving ranges of n values has, by its relative
// variance (Satterthwaite): (n-1) d2^2 / (2 (d3^2 + 2 c (n-2)/(n-1))), where c is the covariance of
// neighbouring ranges, from E|a||b| of a bivariate normal with correlation -1/2. About 0.6 (n-1);
// tests compare it with a simulation.
[[nodiscard]] Checked<double> moving_range_degrees(std::size_t n);

// The factor of sigma with which `charts` new values together raise a false alarm as often as one
// value beyond 3 sigma does (0.27 %), given that each centre is a mean of `baseline` values and
// that sigma has `degrees` of freedom: Student's quantile at Sidak's share of the risk, times
// sqrt(1 + 1/baseline). Tends to 3 for one chart and an endless baseline.
[[nodiscard]] Checked<double> joint_factor(std::size_t charts, std::size_t baseline,
                                           double degrees);

}  // namespace padtrim::statistics
