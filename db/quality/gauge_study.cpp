#include "db/quality/gauge_study.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "db/statistics/chart_constants.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::CrossedStudy;
using statistics::Flaw;
using statistics::WeightedSquare;

Checked<double> GaugeStudy::share_of_tolerance(double tolerance) const {
    if (!std::isfinite(tolerance)) return Flaw::not_finite;
    if (!(tolerance > 0.0)) return Flaw::out_of_domain;
    return 6.0 * gauge.deviation() / tolerance;
}

namespace {

constexpr double categories_factor = 1.41;  // as printed by AIAG; sqrt(2) rounded

// A component with the mean squares it is made of.
struct Recipe {
    Component* component;
    std::vector<WeightedSquare> squares;
};

Checked<void> fill(const std::vector<Recipe>& recipes, double coverage) {
    for (const Recipe& recipe : recipes) {
        const auto interval = statistics::variance_interval(recipe.squares, coverage);
        if (!interval) return interval.error();
        recipe.component->interval = *interval;
        recipe.component->variance = std::max(0.0, interval->estimate);
    }
    return {};
}

Checked<void> finish(GaugeStudy& study) {
    study.gauge.variance =
        study.repeatability.variance + study.appraiser.variance + study.interaction.variance;
    study.total.variance = study.gauge.variance + study.part.variance;
    if (!std::isfinite(study.total.variance)) return Flaw::not_finite;
    if (!(study.gauge.variance > 0.0)) return Flaw::not_positive;
    study.categories = categories_factor * study.part.deviation() / study.gauge.deviation();
    return {};
}

}  // namespace

Checked<GaugeStudy> gauge_study_by_anova(const CrossedStudy& study, double coverage,
                                         double pool_above) {
    if (!(pool_above >= 0.0 && pool_above <= 1.0)) return Flaw::out_of_domain;
    const auto anova = statistics::crossed_anova(study);
    if (!anova) return anova.error();
    GaugeStudy result;
    result.interaction_pooled = anova->interaction_significance > pool_above;
    const double p = static_cast<double>(study.parts), a = static_cast<double>(study.appraisers);
    const double r = static_cast<double>(study.trials);
    const auto weighted = [](double weight, const statistics::SourceOfVariance& source) {
        return WeightedSquare{weight, source.mean_square(), source.degrees};
    };
    statistics::SourceOfVariance error = anova->repeatability;
    if (result.interaction_pooled) {
        error.squares += anova->interaction.squares;
        error.degrees += anova->interaction.degrees;
    }
    // What parts and appraisers are compared with.
    const auto& against = result.interaction_pooled ? error : anova->interaction;
    const double of_part = 1.0 / (a * r), of_appraiser = 1.0 / (p * r);
    std::vector<Recipe> recipes{
        {&result.repeatability, {weighted(1.0, error)}},
        {&result.appraiser,
         {weighted(of_appraiser, anova->appraiser), weighted(-of_appraiser, against)}},
        {&result.part, {weighted(of_part, anova->part), weighted(-of_part, against)}},
    };
    if (result.interaction_pooled) {
        recipes.push_back(
            {&result.gauge,
             {weighted(of_appraiser, anova->appraiser), weighted(1.0 - of_appraiser, error)}});
        recipes.push_back(
            {&result.total,
             {weighted(of_part, anova->part), weighted(of_appraiser, anova->appraiser),
              weighted(1.0 - of_part - of_appraiser, error)}});
    } else {
        const double rest = 1.0 / r - of_appraiser;
        recipes.push_back(
            {&result.interaction, {weighted(1.0 / r, against), weighted(-1.0 / r, error)}});
        recipes.push_back({&result.gauge,
                           {weighted(of_appraiser, anova->appraiser), weighted(rest, against),
                            weighted(1.0 - 1.0 / r, error)}});
        recipes.push_back(
            {&result.total,
             {weighted(of_part, anova->part), weighted(of_appraiser, anova->appraiser),
              weighted(rest - of_part, against), weighted(1.0 - 1.0 / r, error)}});
    }
    if (const auto ok = fill(recipes, coverage); !ok) return ok.error();
    if (const auto ok = finish(result); !ok) return ok.error();
    return result;
}

namespace {

struct Ranges {
    double mean = 0.0;                     // within cells
    double parts = 0.0, appraisers = 0.0;  // between the means of each
    std::vector<double> cells;
};

double spread_of(const std::vector<double>& values) {
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    return *high - *low;
}

Ranges ranges_of(const CrossedStudy& study) {
    Ranges ranges;
    std::vector<double> parts(study.parts), appraisers(study.appraisers), cell(study.trials);
    const double p = static_cast<double>(study.parts), a = static_cast<double>(study.appraisers);
    const double r = static_cast<double>(study.trials);
    for (std::size_t i = 0; i < study.parts; ++i) {
        for (std::size_t k = 0; k < study.appraisers; ++k) {
            for (std::size_t t = 0; t < study.trials; ++t) {
                cell[t] = study.at(i, k, t) - study.values[0];
                parts[i] += cell[t] / (a * r);
                appraisers[k] += cell[t] / (p * r);
            }
            ranges.cells.push_back(spread_of(cell));
            ranges.mean += ranges.cells.back() / (p * a);
        }
    }
    ranges.parts = spread_of(parts);
    ranges.appraisers = spread_of(appraisers);
    return ranges;
}

double squared(double x) {
    return x * x;
}

}  // namespace

Checked<GaugeStudyByRange> gauge_study_by_range(const CrossedStudy& study) {
    if (const auto ok = statistics::checked(study); !ok) return ok.error();
    const auto of_trials = statistics::chart_constants(study.trials);
    const auto of_appraisers = statistics::d2_of_ranges(study.appraisers, 1);
    const auto of_parts = statistics::d2_of_ranges(study.parts, 1);
    if (!of_trials) return of_trials.error();
    if (!of_appraisers || !of_parts) return Flaw::out_of_domain;
    const Ranges ranges = ranges_of(study);
    if (!(ranges.mean > 0.0)) return Flaw::not_positive;
    GaugeStudyByRange result;
    result.mean_range = ranges.mean;
    result.range_limit = of_trials->D4 * ranges.mean;
    for (const double range : ranges.cells)
        result.ranges_beyond += range > result.range_limit ? 1 : 0;
    const double readings = static_cast<double>(study.parts * study.trials);
    GaugeStudy& gauge = result.study;
    gauge.repeatability.variance = squared(ranges.mean / of_trials->d2);
    gauge.appraiser.variance = std::max(
        0.0, squared(ranges.appraisers / *of_appraisers) - gauge.repeatability.variance / readings);
    gauge.part.variance = squared(ranges.parts / *of_parts);
    if (const auto ok = finish(gauge); !ok) return ok.error();
    return result;
}

}  // namespace padtrim::quality
