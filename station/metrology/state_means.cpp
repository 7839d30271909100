#include "station/metrology/state_means.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>

#include <boost/container/small_vector.hpp>

#include "db/statistics/resolution.hpp"
#include "station/metrology/filter_memory.hpp"

namespace padtrim::metrology {

namespace {

// Some neighbouring series at once: that many sums fit the processor's registers.
constexpr std::size_t together = 4;
using Few = std::array<double, together>;

// Sums of differences from the first scan: whole numbers, so exact in any order.
struct Sums {
    Few first{}, sum{}, squares{}, lagged{}, last{}, low{}, high{};
    void start(const std::int32_t* counts) {
        for (std::size_t k = 0; k < together; ++k) first[k] = counts[k];
    }
    void add(const std::int32_t* counts) {
        for (std::size_t k = 0; k < together; ++k) {
            const double d = counts[k] - first[k];
            sum[k] += d;
            squares[k] += d * d;
            lagged[k] += d * last[k];
            last[k] = d;
            low[k] = d < low[k] ? d : low[k];
            high[k] = d > high[k] ? d : high[k];
        }
    }
    [[nodiscard]] SeriesMean finish(std::size_t k, double n) const {
        const double m = sum[k] / n;
        SeriesMean result;
        result.mean = first[k] + m;
        const double about = squares[k] - n * m * m;
        result.squares = about < 0.0 ? 0.0 : about;  // what is no number stays none
        result.lagged = lagged[k] - m * (2.0 * sum[k] - last[k]) + (n - 1.0) * m * m;
        result.low = first[k] + low[k];
        result.high = first[k] + high[k];
        result.first = first[k];
        return result;
    }
};

}  // namespace

bool concerns(const record::Situation& situation, std::size_t channel) {
    const auto& at = situation.channels;
    return at.empty() || std::find(at.begin(), at.end(), channel) != at.end();
}

StateMean mean_of(const record::Readings& readings, std::size_t series) {
    StateMean state;
    state.situation = &readings.situation;
    state.readings = &readings;
    boost::container::small_vector<const std::int32_t*, 64> scans;
    double time = 0.0;
    std::uint32_t last_counter = 0;
    for (const record::Scan& scan : readings.scans) {
        const bool repeated = !scans.empty() && scan.counter == last_counter;
        if (repeated || scan.counts.size() < series) continue;
        last_counter = scan.counter;
        scans.push_back(scan.counts.data());
        time += static_cast<double>(scan.at_us) * 1e-6;
    }
    state.scans = scans.size();
    if (state.scans == 0) return state;
    const double n = static_cast<double>(state.scans);
    state.at = time / n;
    state.series.reserve(series);
    for (std::size_t from = 0; from < series; from += together) {
        const std::size_t used = std::min(together, series - from);
        Sums sums;
        if (used == together) {
            sums.start(scans[0] + from);
            for (const std::int32_t* counts : scans) sums.add(counts + from);
        } else {
            std::array<std::int32_t, together> rest{};
            for (std::size_t i = 0; i < scans.size(); ++i) {
                std::copy_n(scans[i] + from, used, rest.begin());
                if (i == 0) sums.start(rest.data());
                sums.add(rest.data());
            }
        }
        for (std::size_t k = 0; k < used; ++k) state.series.push_back(sums.finish(k, n));
    }
    return state;
}

std::vector<StateMean> states_of(const record::Observations& observations, const std::string& step,
                                 record::Reading reading, std::size_t series) {
    return last_states_of(observations, step, reading, series,
                          std::numeric_limits<std::size_t>::max());
}

std::vector<StateMean> last_states_of(const record::Observations& observations,
                                      const std::string& step, record::Reading reading,
                                      std::size_t series, std::size_t count) {
    std::vector<StateMean> states;
    for (const record::Readings& readings : observations.readings) {
        const record::Situation& s = readings.situation;
        if (readings.step != step || s.reading != reading || !s.test_mode) continue;
        StateMean state = mean_of(readings, series);
        if (state.scans > 0) states.push_back(std::move(state));
    }
    if (states.size() > count)
        states.erase(states.begin(), states.end() - static_cast<std::ptrdiff_t>(count));
    if (const auto kept = filter_memory(states)) {
        for (StateMean& state : states) forget_state_before(state, *kept);
    }
    return states;
}

namespace {

// n Var(mean) over the variance of one reading. Where a filter was undone the rounding of each of
// its readings stands in two of the others, with opposite signs, and reaches no further.
double inflation_of(const StateMean& state, double r) {
    if (state.memory == 0.0 || r > 0.0) return statistics::mean_inflation(state.scans, r);
    const double n = static_cast<double>(state.scans);
    return 1.0 + 2.0 * r * (n - 1.0) / n;
}

}  // namespace

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
        const double f = inflation_of(state, scatter.correlation);
        scatter.inflation.push_back(f);
        if (state.scans > 1) divisor += static_cast<double>(state.scans) - f;
    }
    const double r2 = scatter.correlation * scatter.correlation;
    scatter.degrees = divisor * (1.0 - r2) / (1.0 + r2);
    scatter.variance.assign(series, 0.0);
    scatter.rounding.assign(series, 1.0 / 12.0);
    if (divisor <= 0.0) return scatter;
    for (std::size_t i = 0; i < series; ++i) {
        scatter.variance[i] = squares[i] / divisor;
        scatter.rounding[i] = *statistics::rounding_left(scatter.variance[i]);
    }
    return scatter;
}

}  // namespace padtrim::metrology
