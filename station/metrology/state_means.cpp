#include "station/metrology/state_means.hpp"

#include <algorithm>

#include "station/metrology/filter_memory.hpp"

namespace padtrim::metrology {

namespace {

// Sums of differences from the first scan: whole numbers, so exact in any order.
struct Sums {
    double first = 0.0, sum = 0.0, squares = 0.0, lagged = 0.0, last = 0.0;
    double low = 0.0, high = 0.0;
    void start(double x) { first = x; }
    void add(double x) {
        const double d = x - first;
        sum += d;
        squares += d * d;
        lagged += d * last;
        last = d;
        low = std::min(low, d);
        high = std::max(high, d);
    }
};

SeriesMean finish(const Sums& s, double n) {
    const double m = s.sum / n;
    SeriesMean result;
    result.mean = s.first + m;
    const double squares = s.squares - n * m * m;
    result.squares = squares < 0.0 ? 0.0 : squares;  // what is no number stays none
    result.lagged = s.lagged - m * (2.0 * s.sum - s.last) + (n - 1.0) * m * m;
    result.low = s.first + s.low;
    result.high = s.first + s.high;
    result.first = s.first;
    return result;
}

}  // namespace

bool concerns(const record::Situation& situation, std::size_t channel) {
    const auto& at = situation.channels;
    return at.empty() || std::find(at.begin(), at.end(), channel) != at.end();
}

StateMean mean_of(const record::Readings& readings, std::size_t series) {
    StateMean state;
    state.situation = &readings.situation;
    state.readings = &readings;
    std::vector<Sums> sums(series);
    double time = 0.0;
    std::uint32_t last_counter = 0;
    for (const record::Scan& scan : readings.scans) {
        const bool repeated = state.scans > 0 && scan.counter == last_counter;
        if (repeated || scan.counts.size() < series) continue;
        last_counter = scan.counter;
        if (state.scans == 0) {
            for (std::size_t i = 0; i < series; ++i) sums[i].start(scan.counts[i]);
        }
        for (std::size_t i = 0; i < series; ++i) sums[i].add(scan.counts[i]);
        time += static_cast<double>(scan.at_us) * 1e-6;
        ++state.scans;
    }
    if (state.scans == 0) return state;
    const double n = static_cast<double>(state.scans);
    state.at = time / n;
    state.series.reserve(series);
    for (const Sums& s : sums) state.series.push_back(finish(s, n));
    return state;
}

std::vector<StateMean> states_of(const record::Observations& observations, const std::string& step,
                                 record::Reading reading, std::size_t series) {
    std::vector<StateMean> states;
    for (const record::Readings& readings : observations.readings) {
        const record::Situation& s = readings.situation;
        if (readings.step != step || s.reading != reading || !s.test_mode) continue;
        StateMean state = mean_of(readings, series);
        if (state.scans > 0) states.push_back(std::move(state));
    }
    if (const auto kept = filter_memory(states)) {
        for (StateMean& state : states) forget_state_before(state, *kept);
    }
    return states;
}

Scatter scatter_of(std::span<const StateMean> states) {
    Scatter scatter;
    if (states.empty()) return scatter;
    const std::size_t series = states[0].series.size();
    std::vector<double> squares(series, 0.0);
    std::vector<statistics::Stretch> stretches;
    for (const StateMean& state : states) {
        statistics::Stretch all{state.scans, 0.0, 0.0, 0.0};
        for (std::size_t i = 0; i < series; ++i) {
            squares[i] += state.series[i].squares;
            all.squares += state.series[i].squares;
            all.lagged += state.series[i].lagged;
        }
        stretches.push_back(all);
    }
    scatter.memory = states[0].memory;
    scatter.correlation = statistics::common_correlation(stretches);
    double divisor = 0.0;
    for (const StateMean& state : states) {
        const double f = statistics::mean_inflation(state.scans, scatter.correlation);
        scatter.inflation.push_back(f);
        if (state.scans > 1) divisor += static_cast<double>(state.scans) - f;
    }
    const double r2 = scatter.correlation * scatter.correlation;
    scatter.degrees = divisor * (1.0 - r2) / (1.0 + r2);
    scatter.variance.assign(series, 0.0);
    if (divisor <= 0.0) return scatter;
    for (std::size_t i = 0; i < series; ++i) scatter.variance[i] = squares[i] / divisor;
    return scatter;
}

}  // namespace padtrim::metrology
