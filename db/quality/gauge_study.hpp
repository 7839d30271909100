// Gauge study: parts x appraisers (or nests, operators) x trials, each trial unloaded and reloaded.
// How much of the scatter is the measuring, and how many parts it can tell apart. Pure.
//
//   by analysis of variance   components from mean squares; the interaction is pooled with the
//                             repeatability where it is not significant (its p above `pool_above`;
//                             0.25: Bancroft, Biometrics 20 (1964) 427, from memory); negative
//                             components become 0. Intervals: modified large samples
//                             (db/statistics/variance_interval.hpp)
//   by average and range      EV = Rbar / d2, AV = sqrt((xdiff / d2*)^2 - EV^2 / (parts trials)),
//                             PV = Rparts / d2* (AIAG Measurement Systems Analysis, 4th ed.)
//
//   GRR^2 = EV^2 + AV^2 (+ interaction);  distinct categories = 1.41 PV / GRR, rounded down
//
// Flaws as those of the analysis of variance; not_positive where parts are all alike.
#pragma once

#include <optional>

#include "db/statistics/crossed_anova.hpp"
#include "db/statistics/variance_interval.hpp"

namespace padtrim::quality {

struct Component {
    double variance = 0.0;  // never negative
    std::optional<statistics::VarianceInterval> interval;
    [[nodiscard]] double deviation() const { return std::sqrt(variance); }
};

struct GaugeStudy {
    bool interaction_pooled = false;
    Component repeatability;  // EV
    Component appraiser;      // AV
    Component interaction;    // 0 where pooled, and by ranges
    Component gauge;          // GRR
    Component part;           // PV
    Component total;          // TV
    double categories = 0.0;  // 1.41 PV / GRR before rounding down
    [[nodiscard]] int distinct_categories() const { return static_cast<int>(categories); }
    [[nodiscard]] double share_of_study(const Component& component) const {
        return component.deviation() / total.deviation();
    }
    // Six deviations over the tolerance (common practice).
    [[nodiscard]] statistics::Checked<double> share_of_tolerance(double tolerance) const;
};

[[nodiscard]] statistics::Checked<GaugeStudy> gauge_study_by_anova(
    const statistics::CrossedStudy& study, double coverage = 0.95, double pool_above = 0.25);

// Without intervals. 2 to 25 trials.
struct GaugeStudyByRange {
    GaugeStudy study;
    double mean_range = 0.0;
    double range_limit = 0.0;       // D4 times it
    std::size_t ranges_beyond = 0;  // cells whose range is above: look at those first
};
[[nodiscard]] statistics::Checked<GaugeStudyByRange> gauge_study_by_range(
    const statistics::CrossedStudy& study);

}  // namespace padtrim::quality
