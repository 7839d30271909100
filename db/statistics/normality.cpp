#include "db/statistics/normality.hpp"

#include <algorithm>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::statistics {

namespace {

constexpr std::size_t fewest = 5, most_tested = 5000;  // where Royston's fit holds

std::vector<double> normal_scores(std::size_t count) {
    const double n = static_cast<double>(count);
    std::vector<double> scores(count);
    for (std::size_t i = 0; i < count; ++i)
        scores[i] = *normal_quantile((static_cast<double>(i) + 0.625) / (n + 0.25));
    return scores;
}

double upper_significance(double misfit, double n) {
    const double u = std::log(n), v = std::log(u);
    const double mean = -1.2725 + 1.0521 * (v - u);
    const double deviation = 1.0308 - 0.26758 * (v + 2.0 / u);
    return normal_probability(-(std::log(misfit) - mean) / deviation);
}

}  // namespace

Checked<Normality> shapiro_francia(std::span<const double> values) {
    if (values.size() < fewest) return Flaw::too_few_points;
    if (values.size() > most_tested) return Flaw::out_of_domain;
    if (!all_finite(values)) return Flaw::not_finite;
    const Moments moments = Moments::of(values);
    if (!moments.variance()) return Flaw::not_finite;
    if (!(moments.squares() > 0.0)) return Flaw::not_positive;
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    const std::vector<double> scores = normal_scores(sorted.size());
    double products = 0.0, score_squares = 0.0;
    for (std::size_t i = 0; i < sorted.size(); ++i) {
        products += scores[i] * (sorted[i] - *moments.mean());
        score_squares += scores[i] * scores[i];
    }
    Normality result;
    result.used = values.size();
    // Scaled before it is squared: large values stay numbers.
    const double r = products / std::sqrt(score_squares) / std::sqrt(moments.squares());
    if (!std::isfinite(r)) return Flaw::not_finite;
    result.w = std::min(1.0, r * r);
    if (result.misfit() > 0.0)
        result.significance =
            upper_significance(result.misfit(), static_cast<double>(values.size()));
    return result;
}

std::vector<double> subsample(std::span<const double> values, std::size_t most) {
    if (values.size() <= most) return {values.begin(), values.end()};
    std::vector<double> taken(most);
    for (std::size_t i = 0; i < most; ++i) taken[i] = values[i * values.size() / most];
    return taken;
}

}  // namespace padtrim::statistics
