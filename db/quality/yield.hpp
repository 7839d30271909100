// Yields of counted units, with the doubt that counting leaves. Pure.
//
// first-pass yield = passed at the first try / units; final yield = passed in the end / units;
// retest recovery = recovered / rejected at the first try. Intervals are two-sided binomial ones:
// Wilson's score interval and Clopper and Pearson's exact one (db/statistics/binomial.hpp).
#pragma once

#include <optional>

#include "db/record/yield_count.hpp"
#include "db/statistics/binomial.hpp"
#include "db/statistics/fisher_exact.hpp"

namespace padtrim::quality {

// A part of a whole with its intervals.
struct Share {
    std::uint32_t part = 0, whole = 0;
    double value = 0.0;  // part / whole
    statistics::ProportionInterval wilson, exact;
};

// Flaws as those of the intervals; out_of_domain for more than 32 bits of units.
[[nodiscard]] statistics::Checked<Share> share_of(const statistics::Counted& counted,
                                                  double coverage = 0.95);

struct Yield {
    Share first_pass, final_pass;
    double retest_rate = 0.0;               // units tried more than once
    std::optional<double> retest_recovery;  // none when nothing was rejected at first
};

// A flaw (too_few_points) when no unit was tried, for then there is no yield; out_of_domain for a
// coverage outside (0, 1) or counts that contradict each other.
[[nodiscard]] statistics::Checked<Yield> yield_of(const record::YieldCount& count,
                                                  double coverage = 0.95);

}  // namespace padtrim::quality
