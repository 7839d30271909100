// From scans to means: what one state of the fixture read on every channel and frequency, and how
// much the readings of a step scatter.
//
// Pure; values are counts, times seconds since the run began. A series is one channel at one
// frequency, channel * frequencies + frequency. Scans that repeat a counter, or that hold too few
// counts, are left out: no reading is used twice.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "db/record/observations.hpp"
#include "db/statistics/correlation.hpp"

namespace padtrim::metrology {

// Whether what the fixture switched in concerns this channel.
[[nodiscard]] bool concerns(const record::Situation& situation, std::size_t channel);

struct SeriesMean {
    double mean = 0.0;
    double squares = 0.0;  // about the mean
    double lagged = 0.0;   // products of neighbours about the mean
    double low = 0.0, high = 0.0;
    double first = 0.0;
    double per_memory = 0.0;  // change of the mean with the memory taken out, counts
};

struct StateMean {
    const record::Situation* situation = nullptr;  // of the observations judged
    const record::Readings* readings = nullptr;    // these too
    std::size_t scans = 0;
    double memory = 0.0;           // of the unit's filter, taken out of the sums
    double memory_standard = 0.0;  // of that, the same error in all states of a step
    double at = 0.0;               // mean time, s
    std::vector<SeriesMean> series;
    // Counts by which the mean of a series moves with the doubt of the memory: one error, the same
    // for all states and series of a step.
    [[nodiscard]] double by_memory(std::size_t i) const {
        return series[i].per_memory * memory_standard;
    }
};
[[nodiscard]] StateMean mean_of(const record::Readings& readings, std::size_t series);

// States of one step with the wanted kind of readings, in the order taken; empty ones left out.
// Where the unit's filter still remembers the state before, that memory is taken out
// (filter_memory.hpp).
[[nodiscard]] std::vector<StateMean> states_of(const record::Observations& observations,
                                               const std::string& step, record::Reading reading,
                                               std::size_t series);

// The same of the last `count` states alone, as if there were no others.
[[nodiscard]] std::vector<StateMean> last_states_of(const record::Observations& observations,
                                                    const std::string& step,
                                                    record::Reading reading, std::size_t series,
                                                    std::size_t count);

// Scatter of single readings, pooled over the states of a step: one correlation for the unit's
// filter, one variance a series.
struct Scatter {
    double correlation = 0.0;
    double degrees = 0.0;
    std::vector<double> variance;   // of one reading, a series; counts^2
    std::vector<double> rounding;   // that whole counts leave in a mean, a series; counts^2
    std::vector<double> inflation;  // n Var(mean) / variance, a state
    double memory = 0.0;            // of the unit's filter, taken out of the above
    [[nodiscard]] bool known() const { return degrees > 0.0; }
    // Of the mean of one of the states, by scatter alone.
    [[nodiscard]] double of_mean(const StateMean& state, std::size_t index, std::size_t i) const {
        return variance[i] * inflation[index] / static_cast<double>(state.scans);
    }
};
[[nodiscard]] Scatter scatter_of(std::span<const StateMean> states);

}  // namespace padtrim::metrology
