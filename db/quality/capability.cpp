#include "db/quality/capability.hpp"

#include <functional>

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Histogram;
using statistics::Moments;

namespace {

// Nothing of the subsample: only sums are known.
Checked<Model> choose(CapabilityFigures& figures, std::span<const double> subsample,
                      const ModelRule& rule) {
    if (subsample.empty()) return Model::normal_untested;
    const auto normality = statistics::shapiro_francia(subsample);
    if (!normality) return normality.error();
    figures.normality = *normality;
    const bool fails =
        normality->misfit() > rule.largest_misfit && normality->significance < rule.risk;
    return fails ? Model::percentile : Model::normal;
}

using Percentiles = std::function<Checked<Indices>()>;

Checked<CapabilityFigures> figures_of(const Moments& all, std::span<const Moments> subgroups,
                                      std::span<const double> subsample, const SpecLimits& limits,
                                      double coverage, const ModelRule& rule,
                                      const Percentiles& percentiles) {
    CapabilityFigures figures;
    const auto overall = overall_scatter(all);
    if (!overall) return overall.error();
    const auto model = choose(figures, subsample, rule);
    if (!model) return model.error();
    figures.model = *model;
    const auto indices =
        *model == Model::percentile ? percentiles() : normal_indices(*overall, limits, coverage);
    if (!indices) return indices.error();
    figures.performance = *indices;
    if (*model == Model::percentile) return figures;  // a deviation within says nothing then
    if (const auto within = within_scatter(subgroups)) {
        const auto of_within = normal_indices(*within, limits, coverage);
        if (!of_within) return of_within.error();
        figures.capability = *of_within;
    }
    return figures;
}

Moments sum_of(std::span<const Moments> subgroups) {
    Moments all;
    for (const Moments& group : subgroups) all.merge(group);
    return all;
}

std::vector<double> quantiles_of(const Histogram& values, std::size_t count) {
    std::vector<double> quantiles;
    if (values.count() == 0) return quantiles;
    for (std::size_t i = 0; i < count; ++i)
        quantiles.push_back(
            *values.quantile((static_cast<double>(i) + 0.5) / static_cast<double>(count)));
    return quantiles;
}

}  // namespace

Checked<CapabilityFigures> capability_figures(std::span<const Moments> subgroups,
                                              std::span<const double> values,
                                              const SpecLimits& limits, double coverage,
                                              const ModelRule& rule) {
    const Moments all = subgroups.empty() ? Moments::of(values) : sum_of(subgroups);
    if (!values.empty() && all.count() != values.size()) return Flaw::sizes_differ;
    const auto subsample =
        values.empty() ? std::vector<double>() : statistics::subsample(values, rule.subsample);
    return figures_of(all, subgroups, subsample, limits, coverage, rule,
                      [&] { return percentile_indices(values, limits, coverage); });
}

Checked<CapabilityFigures> capability_figures(std::span<const Moments> subgroups,
                                              const Histogram& values, const SpecLimits& limits,
                                              double coverage, const ModelRule& rule) {
    const Moments all = sum_of(subgroups);
    if (all.count() != values.count()) return Flaw::sizes_differ;
    return figures_of(all, subgroups, quantiles_of(values, rule.subsample), limits, coverage, rule,
                      [&] { return percentile_indices(values, limits, coverage); });
}

}  // namespace padtrim::quality
