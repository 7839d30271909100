#include "db/quality/drift.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "db/statistics/correlation.hpp"
#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"
#include "db/statistics/straight_line.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;
using statistics::Moments;

namespace {

constexpr std::size_t fewest_values = 8, fewest_a_side = 2;

Checked<void> sensible(std::span<const double> values) {
    if (values.size() < fewest_values) return Flaw::too_few_points;
    if (!statistics::all_finite(values)) return Flaw::not_finite;
    const Moments moments = Moments::of(values);
    if (!moments.variance()) return Flaw::not_finite;
    if (!(moments.squares() > 0.0)) return Flaw::not_positive;
    return {};
}

// How much wider than by independent values an estimate scatters.
double inflation_of(std::span<const statistics::Stretch> rests) {
    const double r = statistics::common_correlation(rests);
    return r > 0.0 ? (1.0 + r) / (1.0 - r) : 1.0;
}

// Two-sided significance of an estimate with its variance, as of count / inflation values of which
// two were used up.
Checked<double> doubted(double estimate, double variance, double count, double inflation) {
    // Nothing is left over: what differs at all differs surely.
    if (!(variance > 0.0)) return estimate == 0.0 ? 1.0 : 0.0;
    const double degrees = std::max(1.0, count / inflation - 2.0);
    const auto tail = statistics::student_probability(
        -std::abs(estimate) / std::sqrt(variance * inflation), degrees);
    if (!tail) return tail.error();
    return 2.0 * *tail;
}

// Index of the first value of the second part, of the split with the most squares between.
std::size_t best_split(std::span<const double> values) {
    const double n = static_cast<double>(values.size());
    double all = 0.0;
    for (const double value : values) all += value - values[0];
    double sum = 0.0, most = -1.0;
    std::size_t best = fewest_a_side;
    for (std::size_t k = 1; k + fewest_a_side <= values.size(); ++k) {
        sum += values[k - 1] - values[0];
        if (k < fewest_a_side) continue;
        const double count = static_cast<double>(k);
        const double d = sum / count - (all - sum) / (n - count);
        const double between = d * d * count * (n - count) / n;
        if (between <= most) continue;
        most = between;
        best = k;
    }
    return best;
}

}  // namespace

Checked<StepChange> step_of(std::span<const double> values) {
    if (const auto ok = sensible(values); !ok) return ok.error();
    StepChange step;
    step.at = best_split(values);
    const auto first = values.first(step.at), second = values.subspan(step.at);
    const Moments before = Moments::of(first), after = Moments::of(second);
    step.before = *before.mean();
    step.after = *after.mean();
    step.residual_squares = before.squares() + after.squares();
    const double n = static_cast<double>(values.size());
    const double a = static_cast<double>(first.size()), b = static_cast<double>(second.size());
    const double variance = step.residual_squares / (n - 2.0) * (1.0 / a + 1.0 / b);
    const std::vector<statistics::Stretch> rests{statistics::stretch_of(first),
                                                 statistics::stretch_of(second)};
    const double inflation = inflation_of(rests);
    step.standard = std::sqrt(variance * inflation);
    const auto significance = doubted(step.size(), variance, n, inflation);
    if (!significance) return significance.error();
    const double splits = n - 2.0 * fewest_a_side + 1.0;
    step.significance = std::min(1.0, splits * *significance);
    return step;
}

Checked<Trend> trend_of(std::span<const double> values) {
    if (const auto ok = sensible(values); !ok) return ok.error();
    std::vector<double> places(values.size()), rest(values.size());
    std::iota(places.begin(), places.end(), 0.0);
    const auto line = statistics::line_of_equal(places, values);
    if (!line) return line.error();
    for (std::size_t i = 0; i < rest.size(); ++i) rest[i] = values[i] - line->at(places[i]);
    const std::vector<statistics::Stretch> rests{statistics::stretch_of(rest)};
    const double inflation = inflation_of(rests);
    const auto significance =
        doubted(line->slope, line->slope_variance, static_cast<double>(values.size()), inflation);
    if (!significance) return significance.error();
    return Trend{line->slope, std::sqrt(line->slope_variance * inflation), *significance,
                 line->residual_squares};
}

Checked<DriftFinding> drift_of(std::span<const double> values, double risk) {
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    const auto step = step_of(values);
    if (!step) return step.error();
    const auto trend = trend_of(values);
    if (!trend) return trend.error();
    DriftFinding finding{Drift::not_distinguishable, *step, *trend};
    if (step->significance >= risk / 2.0 && trend->significance >= risk / 2.0) return finding;
    constexpr double telling = 6.0;
    const double n = static_cast<double>(values.size());
    // The step has one unknown more: its place.
    const double for_step =
        n * std::log(trend->residual_squares / step->residual_squares) - std::log(n);
    finding.kind = for_step > telling    ? Drift::step
                   : for_step < -telling ? Drift::trend
                                         : Drift::step_or_trend;
    return finding;
}

}  // namespace padtrim::quality
