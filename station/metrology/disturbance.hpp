// Several sensing frequencies compared: which one is disturbed.
//
// A touch changes all frequencies alike once each change is divided by its own gain; a tone from
// outside disturbs one. Pure; changes are normalised (pF, or parts of the nominal response).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "db/statistics/flaw.hpp"
#include "station/metrology/channel_line.hpp"

namespace padtrim::metrology {

struct FrequencyChange {
    double change = 0.0;    // normalised
    double standard = 0.0;  // its standard uncertainty
};

struct OddOneOut {
    std::vector<double> score;       // distance from the others' mean, in standard uncertainties
    double limit = 0.0;              // |score| that chance exceeds with the stated probability
    std::optional<std::size_t> odd;  // the frequency that stands out
};
// Each frequency against the weighted mean of the others; the limit is Bonferroni's for as many
// comparisons (two-sided normal). Three frequencies or more: of two that differ nobody can say
// which is right, so then `odd` stays empty and the scores speak.
[[nodiscard]] statistics::Checked<OddOneOut> odd_frequency(std::span<const FrequencyChange> changes,
                                                           double significance);

// A change in counts over the line's gain at its frequency, in pF. What is common to the references
// moves all frequencies alike and is left out of the doubt.
[[nodiscard]] FrequencyChange over_gain(const FrequencyChange& counts, const LineFit& line);

// Expected peak-to-peak of n readings over that of m, for white normal noise.
[[nodiscard]] statistics::Checked<double> peak_growth(std::size_t from, std::size_t to);

}  // namespace padtrim::metrology
