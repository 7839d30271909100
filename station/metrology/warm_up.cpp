#include "station/metrology/warm_up.hpp"

#include <algorithm>
#include <cmath>

#include "station/metrology/state_means.hpp"

namespace padtrim::metrology {

std::vector<Measured> drift_of(const record::Observations& seen, const std::string& step) {
    std::size_t series = 0;
    for (const record::Readings& readings : seen.readings) {
        if (readings.step == step && !readings.scans.empty())
            series = readings.scans.front().counts.size();
    }
    // A unit need not be still before: only the last two looks say what they scatter by.
    const auto looks = last_states_of(seen, step, record::Reading::raw, series, 2);
    std::vector<Measured> drift;
    if (looks.size() < 2) return drift;
    const Scatter scatter = scatter_of(looks);
    const std::size_t last = looks.size() - 1;
    const auto variance = [&](std::size_t look, std::size_t k) {
        const double scattered = scatter.known() ? scatter.of_mean(looks[look], look, k) : 0.0;
        return scattered + scatter.rounding[k];
    };
    for (std::size_t k = 0; k < series; ++k) {
        const double moved = looks[last].series[k].mean - looks[last - 1].series[k].mean;
        drift.push_back({std::abs(moved), std::sqrt(variance(last, k) + variance(last - 1, k)),
                         scatter.degrees});
    }
    return drift;
}

bool is_warm(const record::Observations& seen, const std::string& step,
             const Interval<Counts>& limit) {
    const auto drift = drift_of(seen, step);
    return !drift.empty() && std::all_of(drift.begin(), drift.end(), [&](const Measured& m) {
        const auto inside = distance_inside(m.value, limits_of_magnitude(limit));
        return inside && *inside >= 0.0;
    });
}

}  // namespace padtrim::metrology
