#include "station/metrology/disturbance.hpp"

#include <cmath>

#include "db/statistics/distributions.hpp"
#include "db/statistics/range.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

namespace {

double score_of(std::span<const FrequencyChange> changes, std::size_t which) {
    double weights = 0.0, sum = 0.0;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        if (i == which) continue;
        const double w = 1.0 / (changes[i].standard * changes[i].standard);
        weights += w;
        sum += w * changes[i].change;
    }
    const double own = changes[which].standard * changes[which].standard;
    return (changes[which].change - sum / weights) / std::sqrt(own + 1.0 / weights);
}

}  // namespace

Checked<OddOneOut> odd_frequency(std::span<const FrequencyChange> changes, double significance) {
    if (changes.size() < 2) return Flaw::too_few_points;
    for (const FrequencyChange& c : changes) {
        if (!std::isfinite(c.change) || !std::isfinite(c.standard)) return Flaw::not_finite;
        if (!(c.standard > 0.0)) return Flaw::not_positive;
    }
    const double n = static_cast<double>(changes.size());
    const auto limit = statistics::normal_quantile(1.0 - significance / (2.0 * n));
    if (!limit) return limit.error();
    OddOneOut result;
    result.limit = *limit;
    std::size_t worst = 0;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        result.score.push_back(score_of(changes, i));
        if (std::abs(result.score[i]) > std::abs(result.score[worst])) worst = i;
    }
    if (changes.size() >= 3 && std::abs(result.score[worst]) > *limit) result.odd = worst;
    return result;
}

FrequencyChange over_gain(const FrequencyChange& counts, const LineFit& line) {
    const double change = counts.change / std::abs(line.gain);
    const auto of_gain = [&](LineTerm term) {
        return line.terms[static_cast<std::size_t>(term)].gain;
    };
    const double own =
        std::sqrt(of_gain(LineTerm::scatter) + of_gain(LineTerm::rounding)) / line.gain;
    return {change, std::hypot(counts.standard / line.gain, change * own)};
}

Checked<double> peak_growth(std::size_t from, std::size_t to) {
    const auto before = statistics::range_of_normal(from), after = statistics::range_of_normal(to);
    if (!before) return before.error();
    if (!after) return after.error();
    return after->mean / before->mean;
}

}  // namespace padtrim::metrology
