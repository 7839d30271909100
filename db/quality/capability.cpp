#include "db/quality/capability.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

namespace {

Checked<Model> choose(CapabilityFigures& figures, std::span<const double> values,
                      const ModelRule& rule) {
    if (values.empty()) return Model::normal_untested;
    const auto normality =
        statistics::shapiro_francia(statistics::subsample(values, rule.subsample));
    if (!normality) return normality.error();
    figures.normality = *normality;
    const bool fails =
        normality->misfit() > rule.largest_misfit && normality->significance < rule.risk;
    return fails ? Model::percentile : Model::normal;
}

}  // namespace

Checked<CapabilityFigures> capability_figures(std::span<const Moments> subgroups,
                                              std::span<const double> values,
                                              const SpecLimits& limits, double coverage,
                                              const ModelRule& rule) {
    Moments all;
    for (const Moments& group : subgroups) all.merge(group);
    if (subgroups.empty()) all = Moments::of(values);
    if (!values.empty() && all.count() != values.size()) return Flaw::sizes_differ;
    CapabilityFigures figures;
    const auto overall = overall_scatter(all);
    if (!overall) return overall.error();
    const auto model = choose(figures, values, rule);
    if (!model) return model.error();
    figures.model = *model;
    const auto indices = *model == Model::percentile ? percentile_indices(values, limits, coverage)
                                                     : normal_indices(*overall, limits, coverage);
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

}  // namespace padtrim::quality
