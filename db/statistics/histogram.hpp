// Counts of values in bins that are the same for every sample, so that histograms merge exactly.
//
// A bin is all numbers of one sign that share the leading bits of their binary64 form: exponent and
// some bits of the mantissa, which makes bins as wide as their place is far from zero. The finest
// bins have 10 bits of mantissa. While more than `most_bins` are in use, neighbours are joined two
// by two (one bit less). The histogram so follows from the values alone: neither the order in which
// they came nor how parts were merged shows in it, and its size has a bound.
//
// A value (a normal binary64 number) differs from the middle of its bin by relative_error() of
// itself at most. Plain value.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

class Histogram {
  public:
    static constexpr std::size_t most_bins = 128;
    static constexpr unsigned coarsest = 21;  // one bin a sign

    struct Bin {
        std::int32_t index = 0;  // 0 is zero itself; negative for negative numbers
        std::uint64_t count = 0;
        friend bool operator==(const Bin&, const Bin&) = default;
    };

    Histogram() = default;
    // Rebuilt from what a store kept; nothing when it cannot have come from here.
    [[nodiscard]] static Checked<Histogram> from_parts(unsigned joined, std::vector<Bin> bins);

    // Infinities and what is no number belong in no bin and are left out.
    void add(double value, std::uint64_t times = 1);
    void merge(const Histogram& other);

    [[nodiscard]] std::uint64_t count() const;
    // How often neighbours were joined: 0 to `coarsest`.
    [[nodiscard]] unsigned joined() const { return joined_; }
    [[nodiscard]] std::span<const Bin> bins() const { return bins_; }  // ascending
    // Infinite where values over many octaves forced bins of more than one.
    [[nodiscard]] double relative_error() const;
    // Lower and upper edge of a bin.
    [[nodiscard]] std::pair<double, double> edges(const Bin& bin) const;
    // The value below which a share of the values lies, values taken as even within a bin.
    [[nodiscard]] Checked<double> quantile(double share) const;
    // The share of the values below one, taken as even within its bin; too_few_points without any.
    [[nodiscard]] Checked<double> share_below(double value) const;
    friend bool operator==(const Histogram&, const Histogram&) = default;

  private:
    void keep_within_bound();
    void join_neighbours();

    unsigned joined_ = 0;
    std::vector<Bin> bins_;
};

}  // namespace padtrim::statistics
