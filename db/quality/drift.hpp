// Did a series change: at once, slowly, or not so that one could tell? Pure.
//
// A series is one value a point, evenly spaced (a gain per lot, an offset of a check standard per
// shift). "Not distinguishable" is an answer, not a failure.
//
//   step    the split into two levels that leaves the least squares; its t statistic is the largest
//           of all splits, so its significance is Bonferroni's bound over them (never too small)
//   trend   the slope of a straight line, Student's t
//   Neighbours alike: with a lag-one correlation r > 0 of what is left, t is divided by
//   sqrt((1 + r) / (1 - r)) and fewer values count (db/statistics/correlation.hpp). Short
//   series tell r badly: at 5 %, 30 values with r = 0.8 are still called drift in 13 % of cases
//   (simulated); 100 values in 6 %, and independent ones in 3 %.
//
// Where either is significant at half the risk, the better model is told by the information
// criterion of Schwarz (Ann. Statist. 6 (1978) 461); differences under 6 tell nothing (Kass and
// Raftery, J. Am. Statist. Assoc. 90 (1995) 773).
//
// Flaws: too_few_points below 8 values, not_finite, out_of_domain for a risk outside (0, 1),
// not_positive where no value differs.
#pragma once

#include <cstddef>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::quality {

struct StepChange {
    std::size_t at = 0;  // index of the first value at the new level
    double before = 0.0, after = 0.0;
    double standard = 0.0;  // uncertainty of after - before, the place taken as known
    double significance = 1.0;
    double residual_squares = 0.0;
    [[nodiscard]] double size() const { return after - before; }
};
[[nodiscard]] statistics::Checked<StepChange> step_of(std::span<const double> values);

struct Trend {
    double slope = 0.0;  // a value
    double standard = 0.0;
    double significance = 1.0;
    double residual_squares = 0.0;
};
[[nodiscard]] statistics::Checked<Trend> trend_of(std::span<const double> values);

enum class Drift { not_distinguishable, step, trend, step_or_trend };
struct DriftFinding {
    Drift kind = Drift::not_distinguishable;
    StepChange step;
    Trend trend;
};
[[nodiscard]] statistics::Checked<DriftFinding> drift_of(std::span<const double> values,
                                                         double risk = 0.01);

}  // namespace padtrim::quality
