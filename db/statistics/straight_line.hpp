// Straight-line calibration: slope, intercept, their whole covariance, and what follows from them.
//
//   y = intercept + slope x
//
// Pure, thread safe, no allocation. Centred two-pass sums, whose digits on NIST StRD equal those of
// the orthogonal factorisation (docs/checks.md). Formulas: JCGM 100 H.3 (equal errors), Bevington
// and Robinson, Data Reduction, chapter 6 (weights), Draper and Smith, Applied Regression Analysis,
// chapters 1 to 3 (lack of fit, prediction, Fieller's inverse interval), York et al., Am. J. Phys.
// 72 (2004) 367 (errors on both axes).
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct StraightLine {
    double intercept = 0.0, slope = 0.0;
    double intercept_variance = 0.0, slope_variance = 0.0, covariance = 0.0;
    double residual_squares = 0.0;   // weighted where there are weights
    double degrees = 0.0;            // of the variances; infinite where errors are known
    double residual_variance = 0.0;  // of one reading; 0 where only known errors of the points are
    double centre = 0.0;             // weighted mean of x, where slope and height are uncorrelated
    double height = 0.0;             // of the line at the centre
    double height_variance = 0.0;    // of that
    double explained_squares = 0.0;  // of y about its mean, by the line
    std::size_t points = 0;
    [[nodiscard]] double at(double x) const { return height + slope * (x - centre); }
    [[nodiscard]] double variance_at(double x) const;  // of the line itself
    // Of the slope; where errors are known its chi-squared, of one degree. not_positive when
    // nothing scatters.
    [[nodiscard]] Checked<double> f_statistic() const;
    [[nodiscard]] Checked<double> r_squared() const;  // not_positive when no y differs
};

// Equal errors of unknown size: three points or more.
[[nodiscard]] Checked<StraightLine> line_of_equal(std::span<const double> x,
                                                  std::span<const double> y);
// Known standard deviations of y: two points or more; variances are not scaled.
[[nodiscard]] Checked<StraightLine> line_of_weighted(std::span<const double> x,
                                                     std::span<const double> y,
                                                     std::span<const double> deviations);

// Known covariance matrix of y (row-major, positive definite): two points or more; variances are
// not scaled. The general solver's answer for a line, several times faster.
[[nodiscard]] Checked<StraightLine> line_of_correlated(std::span<const double> x,
                                                       std::span<const double> y,
                                                       std::span<const double> covariance);

// Both axes uncertain, errors of a point correlated with r (empty: not).
struct YorkLine {
    double intercept = 0.0, slope = 0.0;
    double intercept_variance = 0.0, slope_variance = 0.0, covariance = 0.0;  // maximum likelihood
    double chi_squared = 0.0, degrees = 0.0;
    int iterations = 0;
};
[[nodiscard]] Checked<YorkLine> line_of_york(std::span<const double> x,
                                             std::span<const double> x_deviations,
                                             std::span<const double> y,
                                             std::span<const double> y_deviations,
                                             std::span<const double> r = {});

// Half-width around at(x) that holds the mean of `readings` new readings with `coverage`. A new
// reading scatters as those of the line did; where their errors were known, and so perhaps
// unequal, `deviation` of one new reading has to be said (else not_positive).
[[nodiscard]] Checked<double> prediction_half_width(const StraightLine& line, double x,
                                                    double readings, double coverage,
                                                    std::optional<double> deviation = {});

// Counts to pF: the x that belongs to a mean of `readings` readings, with its standard uncertainty
// (first order) and Fieller's interval. empty_interval when the slope is not significant, so that
// the interval would have no end. `deviation` as above.
struct InversePrediction {
    double x = 0.0, standard = 0.0;
    double low = 0.0, high = 0.0;
};
[[nodiscard]] Checked<InversePrediction> inverse_prediction(const StraightLine& line, double y,
                                                            double readings, double coverage,
                                                            std::optional<double> deviation = {});

// Lack of fit from repeated x: whether the scatter about the line exceeds that of repetitions.
struct LackOfFit {
    double f = 0.0;
    double numerator_degrees = 0.0, denominator_degrees = 0.0;
    double significance = 1.0;  // probability of so large an F when the line is right
};
// x in any order; equal x are repetitions.
[[nodiscard]] Checked<LackOfFit> lack_of_fit(std::span<const double> x, std::span<const double> y);

}  // namespace padtrim::statistics
