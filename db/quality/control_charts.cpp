#include "db/quality/control_charts.hpp"

#include <algorithm>
#include <cmath>

#include "db/quality/capability_indices.hpp"
#include "db/statistics/chart_constants.hpp"
#include "db/statistics/individuals.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

namespace {

struct Baseline {
    double mean = 0.0, range = 0.0, deviation = 0.0;  // of means, of ranges, of deviations
    statistics::ChartConstants constants;
};

Checked<Baseline> baseline_of(std::span<const Moments> subgroups) {
    if (subgroups.size() < 2) return Flaw::too_few_points;
    const auto constants =
        statistics::chart_constants(static_cast<std::size_t>(subgroups[0].count()));
    if (!constants) return constants.error();
    Moments means, ranges, deviations;
    for (const Moments& group : subgroups) {
        if (group.count() != subgroups[0].count()) return Flaw::sizes_differ;
        const auto deviation = group.standard_deviation();
        const auto low = group.lowest(), high = group.highest();
        if (!deviation) return deviation.error();
        if (!low || !high) return Flaw::not_finite;
        means.add(*group.mean());
        ranges.add(*high - *low);
        deviations.add(*deviation);
    }
    const auto mean = means.mean(), range = ranges.mean();
    if (!mean || !range) return Flaw::not_finite;
    if (!(*range > 0.0)) return Flaw::not_positive;
    return Baseline{*mean, *range, *deviations.mean(), *constants};
}

ControlLimits around(double centre, double half) {
    return {centre, centre - half, centre + half};
}

}  // namespace

Checked<ChartPair> mean_and_range_chart(std::span<const Moments> subgroups) {
    const auto base = baseline_of(subgroups);
    if (!base) return base.error();
    const auto& c = base->constants;
    return ChartPair{around(base->mean, c.A2 * base->range),
                     {base->range, c.D3 * base->range, c.D4 * base->range},
                     base->range / c.d2};
}

Checked<ChartPair> mean_and_deviation_chart(std::span<const Moments> subgroups) {
    const auto base = baseline_of(subgroups);
    if (!base) return base.error();
    const auto& c = base->constants;
    return ChartPair{around(base->mean, c.A3 * base->deviation),
                     {base->deviation, c.B3 * base->deviation, c.B4 * base->deviation},
                     base->deviation / c.c4};
}

std::vector<Moments> moments_of(std::span<const std::vector<double>> subgroups) {
    std::vector<Moments> all;
    for (const auto& group : subgroups) all.push_back(Moments::of(group));
    return all;
}

Checked<VaryingChart> varying_chart(std::span<const Moments> subgroups) {
    if (subgroups.size() < 2) return Flaw::too_few_points;
    const auto within = within_scatter(subgroups);
    if (!within) return within.error();
    const auto bias = statistics::mean_of_deviation(within->degrees);
    if (!bias) return bias.error();
    VaryingChart chart;
    chart.sigma = within->deviation / *bias;
    for (const Moments& group : subgroups) {
        if (group.count() < 2) return Flaw::too_few_points;
        const double n = static_cast<double>(group.count());
        const auto c4 = statistics::mean_of_deviation(n - 1.0);
        if (!c4) return c4.error();
        const double half = 3.0 * std::sqrt(1.0 - *c4 * *c4);
        chart.location.push_back(around(within->mean, 3.0 * chart.sigma / std::sqrt(n)));
        chart.scatter.push_back({*c4 * chart.sigma, std::max(0.0, *c4 - half) * chart.sigma,
                                 (*c4 + half) * chart.sigma});
    }
    return chart;
}

Checked<ChartPair> individuals_and_range_chart(std::span<const double> values) {
    const auto chart = statistics::individuals_chart(values);
    if (!chart) return chart.error();
    if (!std::isfinite(chart->high - chart->low)) return Flaw::not_finite;
    if (!(chart->sigma > 0.0)) return Flaw::not_positive;
    const auto of_two = statistics::chart_constants(2);
    if (!of_two) return of_two.error();
    return ChartPair{
        {chart->centre, chart->low, chart->high},
        {chart->moving_range, of_two->D3 * chart->moving_range, of_two->D4 * chart->moving_range},
        chart->sigma};
}

Checked<ChartPair> individuals_chart_of(const InControl& process) {
    if (const auto flaw = flaw_of(process)) return *flaw;
    const auto of_two = statistics::chart_constants(2);
    if (!of_two) return of_two.error();
    const double range = of_two->d2 * process.sigma;
    return ChartPair{around(process.centre, 3.0 * process.sigma),
                     {range, of_two->D3 * range, of_two->D4 * range},
                     process.sigma};
}

Checked<ChartPair> means_chart_of(const InControl& process, std::size_t size, bool ranges) {
    if (const auto flaw = flaw_of(process)) return *flaw;
    const auto c = statistics::chart_constants(size);
    if (!c) return c.error();
    const double scatter = (ranges ? c->d2 : c->c4) * process.sigma;
    return ChartPair{
        around(process.centre, 3.0 * process.sigma / std::sqrt(static_cast<double>(size))),
        {scatter, (ranges ? c->D3 : c->B3) * scatter, (ranges ? c->D4 : c->B4) * scatter},
        process.sigma};
}

Checked<std::vector<ControlLimits>> share_chart(std::span<const statistics::Counted> samples) {
    if (samples.empty()) return Flaw::too_few_points;
    double part = 0.0, whole = 0.0;
    for (const auto& sample : samples) {
        if (sample.whole == 0) return Flaw::too_few_points;
        if (sample.part > sample.whole) return Flaw::out_of_domain;
        part += static_cast<double>(sample.part);
        whole += static_cast<double>(sample.whole);
    }
    const double centre = part / whole;
    std::vector<ControlLimits> limits;
    for (const auto& sample : samples) {
        const double half =
            3.0 * std::sqrt(centre * (1.0 - centre) / static_cast<double>(sample.whole));
        limits.push_back({centre, std::max(0.0, centre - half), std::min(1.0, centre + half)});
    }
    return limits;
}

Checked<std::vector<ControlLimits>> occurrence_chart(std::span<const Occurrences> samples) {
    if (samples.empty()) return Flaw::too_few_points;
    double count = 0.0, size = 0.0;
    for (const Occurrences& sample : samples) {
        if (!std::isfinite(sample.count) || !std::isfinite(sample.size)) return Flaw::not_finite;
        if (sample.count < 0.0 || !(sample.size > 0.0)) return Flaw::out_of_domain;
        count += sample.count;
        size += sample.size;
    }
    const double centre = count / size;
    if (!std::isfinite(centre)) return Flaw::not_finite;
    std::vector<ControlLimits> limits;
    for (const Occurrences& sample : samples) {
        const double half = 3.0 * std::sqrt(centre / sample.size);
        limits.push_back({centre, std::max(0.0, centre - half), centre + half});
    }
    return limits;
}

}  // namespace padtrim::quality
