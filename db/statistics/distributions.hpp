// Distribution functions and quantiles that the rest of padtrim uses, on Boost.Math.
//
// Pure and thread safe. Degrees of freedom may be fractional (Welch-Satterthwaite) and infinite,
// where Student's t becomes the normal distribution. Arguments outside the domain give a Flaw.
#pragma once

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

[[nodiscard]] double normal_density(double z);
[[nodiscard]] double normal_probability(double z);  // P(Z <= z); 0 and 1 for infinities
[[nodiscard]] Checked<double> normal_quantile(double probability);

[[nodiscard]] Checked<double> student_probability(double t, double degrees);
[[nodiscard]] Checked<double> student_quantile(double probability, double degrees);
// k such that +-k covers `coverage` of Student's t; GUM Table G.2. The usual case (95 %) is
// interpolated for few degrees, to rounding; for 200 and more it takes the asymptotic series of
// Abramowitz and Stegun 26.7.5, whose error stays below 1e-10 there.
[[nodiscard]] Checked<double> coverage_factor(double coverage, double degrees);

// The ends of 95 % are interpolated between 2 and a million degrees, to rounding.
// Infinite degrees are outside the domain of chi-squared; F tends to chi-squared over its degrees,
// and both infinite are outside its domain.
[[nodiscard]] Checked<double> chi_squared_probability(double value, double degrees);
[[nodiscard]] Checked<double> chi_squared_quantile(double probability, double degrees);
// P(F > value): the significance of an F test.
[[nodiscard]] Checked<double> fisher_upper_probability(double value, double numerator,
                                                       double denominator);
[[nodiscard]] Checked<double> fisher_quantile(double probability, double numerator,
                                              double denominator);

}  // namespace padtrim::statistics
