// Average run lengths: how many points a control chart takes until it signals, on independent
// normal values with known mean and sigma. At shift 0 one point in that many is a false alarm.
//
// Shewhart in closed form. CUSUM and EWMA from the integral equation of the run length (Page 1954;
// Crowder, Technometrics 29 (1987) 401), solved on Gauss-Legendre nodes (Nystrom). Shifts and
// limits are in sigmas.
//
// Pure and thread safe; a CUSUM or EWMA takes one or two milliseconds. Flaws: out_of_domain for
// parameters that make no chart, not_finite, no_convergence where the equation has no sound
// solution.
#pragma once

#include <cstdint>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Limits at +- width.
[[nodiscard]] Checked<double> shewhart_run_length(double width, double shift);

// A chart for proportions of `size` units each, or for occurrences, with these limits: exact,
// binomial and Poisson. Far from 370 where counts are few. out_of_domain for low > high, a share
// outside (0, 1), a size that is not positive, or limits beyond which nothing lies.
[[nodiscard]] Checked<double> share_run_length(double low, double high, std::uint64_t size,
                                               double share);
[[nodiscard]] Checked<double> occurrence_run_length(double low, double high, double size,
                                                    double mean_of_one);

// Tabular CUSUM: reference value k, decision interval h, both arms started at `head_start`. The
// two arms are joined as by Lucas and Crosier (Technometrics 24 (1982) 199).
struct CusumPlan {
    double k = 0.5, h = 5.0, head_start = 0.0;
};
[[nodiscard]] Checked<double> upper_cusum_run_length(const CusumPlan& plan, double shift);
[[nodiscard]] Checked<double> cusum_run_length(const CusumPlan& plan, double shift);

// EWMA with the weight lambda of the newest value and constant (asymptotic) limits at
// +- width sqrt(lambda / (2 - lambda)), started at the centre.
struct EwmaPlan {
    double lambda = 0.1, width = 2.814;
};
[[nodiscard]] Checked<double> ewma_run_length(const EwmaPlan& plan, double shift);

}  // namespace padtrim::statistics
