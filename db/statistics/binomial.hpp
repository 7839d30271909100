// Intervals for a proportion from counts: how many of `trials` came out.
//
// Pure, two-sided, at the stated coverage. Wilson's score interval (Wilson 1927; without continuity
// correction) holds the coverage on average; Clopper and Pearson's (1934), from beta quantiles,
// never falls below it. Flaws: too_few_points without trials, out_of_domain for a coverage outside
// (0, 1) or more successes than trials.
#pragma once

#include <cstdint>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct ProportionInterval {
    double low = 0.0, high = 1.0;
    friend bool operator==(const ProportionInterval&, const ProportionInterval&) = default;
};

[[nodiscard]] Checked<ProportionInterval> wilson_interval(std::uint64_t successes,
                                                          std::uint64_t trials, double coverage);
[[nodiscard]] Checked<ProportionInterval> clopper_pearson_interval(std::uint64_t successes,
                                                                   std::uint64_t trials,
                                                                   double coverage);

}  // namespace padtrim::statistics
