// Noise: the standard deviation of repeated readings, every channel and frequency.
//
// Bias by correlation is taken out; the standard uncertainty of a standard deviation s with v
// effective degrees of freedom is s / sqrt(2 v) (JCGM 100 E.4.3), and limits are decided by
// chi-squared. Quiet counts, which do not move, are known to the resolution 1/sqrt(12).
#include <algorithm>
#include <cmath>

#include "station/metrology/step_checks.hpp"

namespace padtrim::metrology {

void check_step(const Case& unit, const std::string& step, const language::NoiseStep& body,
                Findings& findings) {
    if (!body.noise.limited()) return;
    const auto states = states_of(unit.observations(), step, record::Reading::raw, unit.series());
    const Scatter scatter = scatter_of(states);
    for (std::size_t channel = 0; channel < unit.channels(); ++channel) {
        for (std::size_t frequency = 0; frequency < unit.frequencies(); ++frequency) {
            CheckPlace place{step,
                             "noise",
                             "counts",
                             record::Traceability::indication,
                             record::Stage::as_found,
                             static_cast<int>(channel),
                             static_cast<int>(frequency),
                             unit.key_of(channel)};
            if (!scatter.known()) {
                add_unjudged(findings, std::move(place),
                             "The noise of " + unit.place_of(channel) + " was not read.");
                continue;
            }
            // The noise that the product shows is what its filter lets through.
            const double through = (1.0 - scatter.memory) / (1.0 + scatter.memory);
            const double s =
                std::sqrt(through * scatter.variance[unit.series_of(channel, frequency)]);
            const double floor = std::sqrt(1.0 / 12.0);
            const double standard = std::max(s, floor) / std::sqrt(2.0 * scatter.degrees);
            add_check(findings, unit, std::move(place), {s, standard, scatter.degrees},
                      limits_of_magnitude(body.noise));
        }
    }
}

}  // namespace padtrim::metrology
