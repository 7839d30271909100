// Deciding while readings come: Wald's test and group-sequential boundaries.
//
// Both watch a mean with known deviation of one reading. Correlated readings enter with their
// effective number (n over mean_inflation), which keeps the stated risks. Pure and thread safe.
// Sources: Wald, Sequential Analysis (1947), chapters 3 and 7; Armitage, McPherson and Rowe,
// J. R. Stat. Soc. A 132 (1969) 235 (recursion); Pocock, Biometrika 64 (1977) 191; O'Brien and
// Fleming, Biometrics 35 (1979) 549.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

enum class SequentialState { go_on, first, second };

// theta0 against theta1: `first` accepts theta0 (wrong with at most beta, nearly), `second` accepts
// theta1 (wrong with at most alpha, nearly).
class WaldTest {
  public:
    struct Design {
        double theta0 = 0.0, theta1 = 1.0;
        double deviation = 1.0;
        double alpha = 0.05, beta = 0.05;
    };
    [[nodiscard]] static Checked<WaldTest> of(const Design& design);

    // What is no number, or less than no readings, decides nothing: go_on.
    [[nodiscard]] SequentialState after(double effective_readings, double mean) const;
    // Lines that the sum of n readings is compared with: intercept + slope n.
    [[nodiscard]] double lower_intercept() const;
    [[nodiscard]] double upper_intercept() const;
    [[nodiscard]] double slope() const { return 0.5 * (design_.theta0 + design_.theta1); }
    [[nodiscard]] double log_a() const { return log_a_; }
    [[nodiscard]] double log_b() const { return log_b_; }
    // Wald's approximations, overshoot neglected. Flaw: not_finite.
    [[nodiscard]] Checked<double> first_probability(double theta) const;
    [[nodiscard]] Checked<double> expected_readings(double theta) const;
    // Readings of the fixed plan with the same risks.
    [[nodiscard]] double fixed_readings() const;

  private:
    explicit WaldTest(const Design& design);
    [[nodiscard]] double exponent(double theta) const;
    Design design_;
    double log_a_ = 0.0, log_b_ = 0.0;
};

enum class BoundaryShape { pocock, obrien_fleming };

// Boundaries for |Z| at looks equally spaced in information, so that a true mean on the limit
// crosses either of them with total probability `two_sided_risk`.
[[nodiscard]] Checked<std::vector<double>> group_boundaries(BoundaryShape shape, std::size_t looks,
                                                            double two_sided_risk);

struct GroupOutcome {
    double above = 0.0, below = 0.0;  // probability to cross the upper and the lower boundary
    double expected_looks = 0.0;
};
// `drift`: expectation of Z at the last look.
[[nodiscard]] Checked<GroupOutcome> group_outcome(std::span<const double> boundaries, double drift);

}  // namespace padtrim::statistics
