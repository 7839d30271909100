// Two-way analysis of variance of a crossed, balanced study with repetition: every appraiser (or
// nest) measures every part equally often. Montgomery, Design and Analysis of Experiments, 5.3 and
// 13.3 (both factors random).
//
// Pure and thread safe. Sums are about cell means, so that large common parts keep their digits.
// Flaws: too_few_points below two parts, appraisers or trials, sizes_differ when the values do not
// fill the study, not_finite, not_positive when repetitions do not scatter.
#pragma once

#include <cstddef>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct CrossedStudy {
    std::size_t parts = 0, appraisers = 0, trials = 0;
    std::vector<double> values;  // trial fastest, then appraiser, then part
    [[nodiscard]] double at(std::size_t part, std::size_t appraiser, std::size_t trial) const {
        return values[(part * appraisers + appraiser) * trials + trial];
    }
};
[[nodiscard]] Checked<void> checked(const CrossedStudy& study);

struct SourceOfVariance {
    double squares = 0.0, degrees = 0.0;
    [[nodiscard]] double mean_square() const { return squares / degrees; }
};
struct CrossedAnova {
    SourceOfVariance part, appraiser, interaction, repeatability;
    double f_part = 0.0, f_appraiser = 0.0;  // over the interaction
    double f_interaction = 0.0, interaction_significance = 1.0;
    [[nodiscard]] double total_squares() const {
        return part.squares + appraiser.squares + interaction.squares + repeatability.squares;
    }
};
[[nodiscard]] Checked<CrossedAnova> crossed_anova(const CrossedStudy& study);

}  // namespace padtrim::statistics
