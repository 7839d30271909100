#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "db/quality/capability_indices.hpp"
#include "db/statistics/tolerance.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr std::size_t fewest_ranked = 1000;
constexpr double lowest_share = 0.00135, highest_share = 0.99865;  // +- 3 s of a normal process

// Values in their order, the least at rank 1.
struct Ranked {
    std::size_t count = 0;
    std::function<double(std::size_t)> at;
    std::function<double(const SpecLimits&)> outside;  // share
};

// A percentile with bounds; none of a bound where order statistics cannot give it.
struct Percentile {
    double value = 0.0;
    std::optional<double> low, high;
};

// Value: Hyndman and Fan's median-unbiased estimate (Am. Statistician 50 (1996) 361, type 8).
Percentile percentile(const Ranked& ranked, double share, double confidence) {
    const double n = static_cast<double>(ranked.count);
    const double place = std::clamp((n + 1.0 / 3.0) * share + 1.0 / 3.0, 1.0, n);
    const auto below = static_cast<std::size_t>(place);
    const double here = ranked.at(below), next = ranked.at(std::min(below + 1, ranked.count));
    Percentile result{here + (place - static_cast<double>(below)) * (next - here), {}, {}};
    const auto up = *statistics::tolerance_ranks(ranked.count, {1.0 - share, confidence});
    const auto down = *statistics::tolerance_ranks(ranked.count, {share, confidence});
    if (up > 0) result.low = ranked.at(up);
    if (down > 0) result.high = ranked.at(ranked.count + 1 - down);
    return result;
}

// (limit - middle) / (end - middle) at the ends of both percentiles: monotonic in each, so that its
// extremes lie at corners.
Index index_between(double limit, const Percentile& middle, const Percentile& end) {
    Index index{(limit - middle.value) / (end.value - middle.value), {}, {}};
    if (!middle.low || !middle.high || !end.low || !end.high) return index;
    double low = INFINITY, high = -INFINITY;
    for (const double m : {*middle.low, *middle.high}) {
        for (const double e : {*end.low, *end.high}) {
            if ((e - m) * (end.value - middle.value) <= 0.0) return index;
            low = std::min(low, (limit - m) / (e - m));
            high = std::max(high, (limit - m) / (e - m));
        }
    }
    index.low = low;
    index.high = high;
    return index;
}

// The least of both, and of both bounds.
Index nearer(const Index& a, const Index& b) {
    Index index{std::min(a.value, b.value), {}, {}};
    if (a.low && b.low) index.low = std::min(*a.low, *b.low);
    if (a.high && b.high) index.high = std::min(*a.high, *b.high);
    return index;
}

Index index_of_width(double allowed, const Percentile& bottom, const Percentile& top) {
    Index index{allowed / (top.value - bottom.value), {}, {}};
    if (!bottom.low || !bottom.high || !top.low || !top.high) return index;
    index.low = allowed / (*top.high - *bottom.low);
    if (*top.low > *bottom.high) index.high = allowed / (*top.low - *bottom.high);
    return index;
}

double observed_outside(const std::vector<double>& sorted, const SpecLimits& limits) {
    const auto outside = std::count_if(sorted.begin(), sorted.end(), [&](double value) {
        return value < limits.low.value_or(-INFINITY) || value > limits.high.value_or(INFINITY);
    });
    return static_cast<double>(outside) / static_cast<double>(sorted.size());
}

Checked<Indices> indices_of(const Ranked& ranked, const SpecLimits& limits, double coverage) {
    if (const auto flaw = flaw_of(limits)) return *flaw;
    if (!(coverage > 0.0 && coverage < 1.0)) return Flaw::out_of_domain;
    if (ranked.count < fewest_ranked) return Flaw::too_few_points;
    const double ends = limits.low && limits.high ? 6.0 : 4.0;  // bounds that hold together
    const double confidence = 1.0 - (1.0 - coverage) / ends;
    const Percentile bottom = percentile(ranked, lowest_share, confidence);
    const Percentile middle = percentile(ranked, 0.5, confidence);
    const Percentile top = percentile(ranked, highest_share, confidence);
    if (!(top.value > middle.value && middle.value > bottom.value)) return Flaw::not_positive;
    if (!std::isfinite(top.value - bottom.value)) return Flaw::not_finite;
    Indices result;
    if (limits.low) result.nearest = index_between(*limits.low, middle, bottom);
    if (limits.high) {
        const Index above = index_between(*limits.high, middle, top);
        result.nearest = limits.low ? nearer(result.nearest, above) : above;
    }
    if (limits.low && limits.high)
        result.spread = index_of_width(*limits.high - *limits.low, bottom, top);
    result.outside = ranked.outside(limits);
    return result;
}

}  // namespace

Checked<Indices> percentile_indices(std::span<const double> values, const SpecLimits& limits,
                                    double coverage) {
    if (!statistics::all_finite(values)) return Flaw::not_finite;
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    return indices_of({sorted.size(), [&](std::size_t rank) { return sorted[rank - 1]; },
                       [&](const SpecLimits& of) { return observed_outside(sorted, of); }},
                      limits, coverage);
}

Checked<Indices> percentile_indices(const statistics::Histogram& histogram,
                                    const SpecLimits& limits, double coverage) {
    const auto count = static_cast<std::size_t>(histogram.count());
    const auto at = [&](std::size_t rank) {
        return *histogram.quantile((static_cast<double>(rank) - 0.5) / static_cast<double>(count));
    };
    const auto outside = [&](const SpecLimits& of) {
        return (of.low ? *histogram.share_below(*of.low) : 0.0) +
               (of.high ? 1.0 - *histogram.share_below(*of.high) : 0.0);
    };
    return indices_of({count, at, outside}, limits, coverage);
}

}  // namespace padtrim::quality
