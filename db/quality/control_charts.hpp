// Shewhart control charts to ISO 7870-2: centre and 3 sigma limits from a baseline. Pure.
//
//   X-bar and R   mean +- A2 Rbar; D3 Rbar to D4 Rbar; sigma = Rbar / d2
//   X-bar and s   mean +- A3 sbar; B3 sbar to B4 sbar; sigma = sbar / c4
//   varying       mean +- 3 sigma / sqrt n_i; sigma (c4 -+ 3 sqrt(1 - c4^2)), c4 of n_i
//   individuals   mean +- 3 MRbar / d2(2); moving range up to D4(2) MRbar
//   p             pbar +- 3 sqrt(pbar (1 - pbar) / n_i), within 0 and 1
//   u             ubar +- 3 sqrt(ubar / n_i), not below 0; with n_i = 1 this is the c chart
//
// A point beyond its limits is a false alarm once in 370 points where the process is normal and its
// mean and sigma are known; less surely so for limits from few subgroups. For p and u see
// share_run_length and occurrence_run_length in db/statistics/run_length.hpp. Constants:
// db/statistics/chart_constants.hpp.
//
// Flaws: too_few_points (two subgroups, of two values, or one sample), sizes_differ, out_of_domain
// (subgroups over 25, a part larger than its whole, a size that is not positive), not_finite,
// not_positive where nothing scatters.
#pragma once

#include <span>
#include <vector>

#include "db/quality/memory_charts.hpp"
#include "db/statistics/fisher_exact.hpp"
#include "db/statistics/flaw.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

struct ControlLimits {
    double centre = 0.0, low = 0.0, high = 0.0;
    [[nodiscard]] bool beyond(double value) const { return value < low || value > high; }
};

struct ChartPair {
    ControlLimits location;  // of means, or of single values
    ControlLimits scatter;   // of ranges, of standard deviations, or of moving ranges
    double sigma = 0.0;      // of one value, within subgroups
};
// Subgroups of equal size, 2 to 25 values each, as values or as the sums that a store keeps.
[[nodiscard]] statistics::Checked<ChartPair> mean_and_range_chart(
    std::span<const statistics::Moments> subgroups);
[[nodiscard]] statistics::Checked<ChartPair> mean_and_deviation_chart(
    std::span<const statistics::Moments> subgroups);
[[nodiscard]] std::vector<statistics::Moments> moments_of(
    std::span<const std::vector<double>> subgroups);

// Subgroups of any sizes from 2 (a shift, a day): limits of each, from the sigma pooled within all.
// Where subgroups differ by nature, as days do, these limits of large ones are too narrow to be of
// use: then chart the means as individual values.
struct VaryingChart {
    double sigma = 0.0;
    std::vector<ControlLimits> location, scatter;  // of means, of standard deviations
};
[[nodiscard]] statistics::Checked<VaryingChart> varying_chart(
    std::span<const statistics::Moments> subgroups);

[[nodiscard]] statistics::Checked<ChartPair> individuals_and_range_chart(
    std::span<const double> values);

// The same charts of a process that is known, or whose limits were frozen: ranges d2 sigma and D3,
// D4 times that, deviations c4 sigma and B3, B4. Flaws of the process, and of the subgroups' size.
[[nodiscard]] statistics::Checked<ChartPair> individuals_chart_of(const InControl& process);
[[nodiscard]] statistics::Checked<ChartPair> means_chart_of(const InControl& process,
                                                            std::size_t size, bool ranges);

// Limits of each sample, since they go with its size; the centre is of all.
[[nodiscard]] statistics::Checked<std::vector<ControlLimits>> share_chart(
    std::span<const statistics::Counted> samples);
struct Occurrences {
    double count = 0.0;  // of nonconformities
    double size = 1.0;   // units looked at
};
[[nodiscard]] statistics::Checked<std::vector<ControlLimits>> occurrence_chart(
    std::span<const Occurrences> samples);

}  // namespace padtrim::quality
