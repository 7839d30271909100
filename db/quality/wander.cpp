#include "db/quality/wander.hpp"

#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

Checked<Wander> wander_of(std::span<const double> means, std::span<const double> standards) {
    if (means.size() != standards.size()) return Flaw::sizes_differ;
    if (means.size() < 2) return Flaw::too_few_points;
    double weights = 0.0, weighted = 0.0;
    for (std::size_t i = 0; i < means.size(); ++i) {
        if (!std::isfinite(means[i]) || !std::isfinite(standards[i])) return Flaw::not_finite;
        if (!(standards[i] > 0.0)) return Flaw::not_positive;
        const double weight = 1.0 / (standards[i] * standards[i]);
        weights += weight;
        weighted += weight * means[i];
    }
    const double mean = weighted / weights;
    double squares = 0.0;
    for (std::size_t i = 0; i < means.size(); ++i) {
        const double apart = (means[i] - mean) / standards[i];
        squares += apart * apart;
    }
    const double degrees = static_cast<double>(means.size()) - 1.0;
    const auto below = statistics::chi_squared_probability(squares, degrees);
    if (!below) return below.error();
    return Wander{std::sqrt(squares / degrees), 1.0 - *below};
}

}  // namespace padtrim::quality
