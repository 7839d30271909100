// Capability and performance indices to ISO 22514-2. Pure.
//
//   normal model       Cp = (U - L) / 6 s, Cpk = min(U - mean, mean - L) / 3 s
//   percentile method  Pp = (U - L) / (x99.865 - x0.135),
//                      Ppk = min((U - x50) / (x99.865 - x50), (x50 - L) / (x50 - x0.135))
//
// The same formulas give Cp and Cpk from the scatter within subgroups and Pp and Ppk from that of
// all values. Intervals of the normal model: chi-squared for Cp (exact), Bissell's normal
// approximation for Cpk (Appl. Statist. 39 (1990) 331; within a few per cent from 30 values). Of
// the percentile method: order statistics of all percentiles together (Bonferroni; never below the
// coverage), none where the values are too few to bound the outermost percentiles.
//
// Flaws: out_of_domain without a limit or for a coverage outside (0, 1), empty_interval for low >=
// high, too_few_points, not_finite, not_positive where nothing scatters.
#pragma once

#include <optional>
#include <span>

#include "db/statistics/histogram.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

struct SpecLimits {
    std::optional<double> low, high;
};

// What a process scatters: by `count` values, its deviation with so many degrees of freedom.
struct Scatter {
    double mean = 0.0, deviation = 0.0;
    double count = 0.0, degrees = 0.0;
};
[[nodiscard]] statistics::Checked<Scatter> overall_scatter(const statistics::Moments& all);
// Deviation pooled within subgroups; those of one value add to the mean only.
[[nodiscard]] statistics::Checked<Scatter> within_scatter(
    std::span<const statistics::Moments> subgroups);

struct Index {
    double value = 0.0;
    std::optional<double> low, high;  // of its interval
};
struct Indices {
    std::optional<Index> spread;  // Cp or Pp; none with one limit
    Index nearest;                // Cpk or Ppk
    double outside = 0.0;         // expected share beyond the limits; observed for percentiles
};
[[nodiscard]] statistics::Checked<Indices> normal_indices(const Scatter& scatter,
                                                          const SpecLimits& limits,
                                                          double coverage = 0.95);

// 1000 values or more (the outermost percentiles are about the second value from each end).
[[nodiscard]] statistics::Checked<Indices> percentile_indices(std::span<const double> values,
                                                              const SpecLimits& limits,
                                                              double coverage = 0.95);

// The same of a histogram, values taken as even within a bin: to its relative_error().
[[nodiscard]] statistics::Checked<Indices> percentile_indices(
    const statistics::Histogram& histogram, const SpecLimits& limits, double coverage = 0.95);

// nullopt where the limits are sound.
[[nodiscard]] std::optional<statistics::Flaw> flaw_of(const SpecLimits& limits);

}  // namespace padtrim::quality
