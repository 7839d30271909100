// What counting in whole counts leaves unknown of a mean.
//
// Noise dithers: readings that scatter over several counts average the rounding away, quiet ones
// leave it in full. Pure and thread safe. A variance that is no number or negative is named.
#pragma once

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Variance, in counts^2, that rounding to whole counts leaves in the mean of ever so many readings
// whose noise before rounding has this variance: sum over k of exp(-4 pi^2 k^2 s^2) / (2 pi^2 k^2)
// (Widrow and Kollar, Quantization Noise, 2008, chapter 4, averaged over where the mean lies).
// 1/12 without noise (JCGM 100 F.2.2.1), below 1e-3 from 0.35 counts on.
[[nodiscard]] Checked<double> rounding_of_mean(double noise_variance);

// The noise before rounding from the observed scatter of whole counts, never below 0.
[[nodiscard]] Checked<double> noise_before_rounding(double observed_variance);

// What rounding leaves in the mean of readings that are seen to scatter so.
[[nodiscard]] Checked<double> rounding_left(double observed_variance);

}  // namespace padtrim::statistics
