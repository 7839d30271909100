#include "db/statistics/crossed_anova.hpp"

#include <span>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::statistics {

Checked<void> checked(const CrossedStudy& study) {
    if (study.parts < 2 || study.appraisers < 2 || study.trials < 2) return Flaw::too_few_points;
    if (study.values.size() != study.parts * study.appraisers * study.trials)
        return Flaw::sizes_differ;
    if (!all_finite(study.values)) return Flaw::not_finite;
    return {};
}

namespace {

// Mean of each cell, part, appraiser, and of all, about the first value.
struct Means {
    std::vector<double> cell, part, appraiser;
    double grand = 0.0, repeatability_squares = 0.0;
};

Means means_of(const CrossedStudy& study) {
    Means means;
    means.part.resize(study.parts);
    means.appraiser.resize(study.appraisers);
    const double parts = static_cast<double>(study.parts);
    const double appraisers = static_cast<double>(study.appraisers);
    std::vector<double> cell(study.trials);
    for (std::size_t p = 0; p < study.parts; ++p) {
        for (std::size_t a = 0; a < study.appraisers; ++a) {
            for (std::size_t t = 0; t < study.trials; ++t)
                cell[t] = study.at(p, a, t) - study.values[0];
            const Moments moments = Moments::of(cell);
            const Checked<double> known = moments.mean();
            const double mean = known ? *known : NAN;  // too large: the sums will tell
            means.cell.push_back(mean);
            means.repeatability_squares += moments.squares();
            means.part[p] += mean / appraisers;
            means.appraiser[a] += mean / parts;
            means.grand += mean / (parts * appraisers);
        }
    }
    return means;
}

double squares_about(std::span<const double> values, double mean) {
    double sum = 0.0;
    for (const double value : values) sum += (value - mean) * (value - mean);
    return sum;
}

}  // namespace

Checked<CrossedAnova> crossed_anova(const CrossedStudy& study) {
    if (const auto ok = checked(study); !ok) return ok.error();
    const double p = static_cast<double>(study.parts), a = static_cast<double>(study.appraisers);
    const double r = static_cast<double>(study.trials);
    const Means means = means_of(study);
    double interaction = 0.0;
    for (std::size_t i = 0; i < means.cell.size(); ++i) {
        const double d = means.cell[i] - means.part[i / study.appraisers] -
                         means.appraiser[i % study.appraisers] + means.grand;
        interaction += d * d;
    }
    CrossedAnova anova;
    anova.part = {a * r * squares_about(means.part, means.grand), p - 1.0};
    anova.appraiser = {p * r * squares_about(means.appraiser, means.grand), a - 1.0};
    anova.interaction = {r * interaction, (p - 1.0) * (a - 1.0)};
    anova.repeatability = {means.repeatability_squares, p * a * (r - 1.0)};
    if (!std::isfinite(anova.total_squares())) return Flaw::not_finite;
    if (!(anova.repeatability.squares > 0.0)) return Flaw::not_positive;
    anova.f_interaction = anova.interaction.mean_square() / anova.repeatability.mean_square();
    const auto significance = fisher_upper_probability(
        anova.f_interaction, anova.interaction.degrees, anova.repeatability.degrees);
    if (!significance) return significance.error();
    anova.interaction_significance = *significance;
    // Without any interaction at all the ratios below have no number; F is then over 0.
    if (anova.interaction.squares > 0.0) {
        anova.f_part = anova.part.mean_square() / anova.interaction.mean_square();
        anova.f_appraiser = anova.appraiser.mean_square() / anova.interaction.mean_square();
    }
    return anova;
}

}  // namespace padtrim::statistics
