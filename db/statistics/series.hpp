// What a series of readings says beside its mean: stability over time, strangers, tones.
//
// Pure and thread safe; readings evenly spaced in time.
#pragma once

#include <cstddef>
#include <span>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Allan deviation at an averaging length of m readings, overlapping estimate (Riley, Handbook of
// Frequency Stability Analysis, NIST SP 1065 (2008), equation 11, on readings instead of
// frequencies). White noise of deviation s gives s / sqrt(m); a rise with m is drift.
[[nodiscard]] Checked<double> allan_deviation(std::span<const double> readings, std::size_t m);

// Grubbs' test for one outlier (Technometrics 11 (1969) 1; ISO 5725-2): the reading farthest from
// the mean, in standard deviations, and the critical value at the stated two-sided significance.
struct Outlier {
    std::size_t index = 0;
    double statistic = 0.0, critical = 0.0;
    [[nodiscard]] bool significant() const { return statistic > critical; }
};
[[nodiscard]] Checked<Outlier> grubbs(std::span<const double> readings, double significance);

// The strongest tone by the periodogram, and whether it is more than noise makes by chance:
// Fisher's test (Proc. R. Soc. A 125 (1929) 54). Frequency in cycles a reading, 0 to 0.5;
// amplitude in the readings' unit. Ten readings or more. Half a cycle a
// reading, which an even number of readings shows and Fisher's test leaves out, is tested by F
// (1 against all other degrees); both tests together keep the significance.
struct Tone {
    double frequency = 0.0, amplitude = 0.0;
    double share = 0.0;         // of the variance; Fisher's g below 0.5 cycles
    double significance = 1.0;  // probability of so large a share in white noise
};
[[nodiscard]] Checked<Tone> strongest_tone(std::span<const double> readings);

}  // namespace padtrim::statistics
