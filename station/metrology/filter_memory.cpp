#include "station/metrology/filter_memory.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "db/statistics/correlation.hpp"

namespace padtrim::metrology {

namespace {

constexpr std::size_t fewest_scans = 4;
constexpr double longest_memory = 0.98;

// Readings of one series, as mean_of() took them.
std::vector<double> column(const record::Readings& readings, std::size_t series,
                           std::size_t width) {
    std::vector<double> values;
    values.reserve(readings.scans.size());
    std::uint32_t last = 0;
    for (const record::Scan& scan : readings.scans) {
        const bool repeated = !values.empty() && scan.counter == last;
        if (repeated || scan.counts.size() < width) continue;
        last = scan.counter;
        values.push_back(scan.counts[series]);
    }
    return values;
}

// First scans deviate as much as any other unless they remember: then their squares, over the mean
// square of all, exceed 1 by more than chance (six standard deviations).
bool first_scans_stand_out(std::span<const StateMean> states) {
    double first = 0.0, mean_square = 0.0, count = 0.0;
    for (const StateMean& state : states) {
        if (state.scans < fewest_scans) continue;
        for (const SeriesMean& s : state.series) {
            first += (s.first - s.mean) * (s.first - s.mean);
            mean_square += s.squares / static_cast<double>(state.scans - 1);
            count += 1.0;
        }
    }
    if (count == 0.0 || !(mean_square > 0.0)) return false;
    return first > mean_square * (1.0 + std::max(0.5, 6.0 * std::sqrt(2.0 / count)));
}

// Each reading but the first beside the one before it, about their own means.
struct Pairs {
    std::vector<double> before, after;
    explicit Pairs(std::span<const double> y) {
        const std::size_t n = y.size() - 1;
        double mean_before = 0.0, mean_after = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            mean_before += (y[i] - y[0]) / static_cast<double>(n);
            mean_after += (y[i + 1] - y[0]) / static_cast<double>(n);
        }
        for (std::size_t i = 0; i < n; ++i) {
            before.push_back(y[i] - y[0] - mean_before);
            after.push_back(y[i + 1] - y[0] - mean_after);
        }
    }
};

// Variance of sum b_i e_i over that of one e. Errors alike fade as r^k; errors that differ come of
// readings that stand in two pairs, with opposite signs, and reach no further.
double correlated_squares(std::span<const double> b, double r) {
    double sum = 0.0, faded = 0.0;
    for (const double value : b) {
        sum += value * (value + 2.0 * r * faded);
        faded = r > 0.0 ? value + r * faded : value;
    }
    return sum;
}

// Of the slope `kept` of after on before. What is left of neighbouring pairs is correlated: an
// error of one reading, its rounding say, is in both with opposite signs.
double standard_of(double kept, std::span<const Pairs> all, double squares) {
    std::vector<statistics::Stretch> left;
    for (const Pairs& pairs : all) {
        std::vector<double> rest;
        for (std::size_t i = 0; i < pairs.before.size(); ++i) {
            rest.push_back(pairs.after[i] - kept * pairs.before[i]);
        }
        left.push_back(statistics::stretch_of(rest));
    }
    const double r = statistics::common_correlation(left);
    const auto one = statistics::pooled_variance(left, r);
    if (!one) return 0.0;
    double moved = 0.0;
    for (const Pairs& pairs : all) moved += correlated_squares(pairs.before, r);
    return std::sqrt(one->variance * std::max(0.0, moved)) / squares;
}

}  // namespace

std::optional<FilterMemory> filter_memory(std::span<const StateMean> states) {
    if (!first_scans_stand_out(states)) return std::nullopt;
    std::vector<Pairs> all;
    double both = 0.0, squares = 0.0;
    for (const StateMean& state : states) {
        if (state.scans < fewest_scans) continue;
        for (std::size_t i = 0; i < state.series.size(); ++i) {
            const Pairs& pairs = all.emplace_back(column(*state.readings, i, state.series.size()));
            for (std::size_t k = 0; k < pairs.before.size(); ++k) {
                both += pairs.before[k] * pairs.after[k];
                squares += pairs.before[k] * pairs.before[k];
            }
        }
    }
    if (!(squares > 0.0)) return std::nullopt;
    FilterMemory memory;
    memory.kept = std::clamp(both / squares, 0.0, longest_memory);
    memory.standard = standard_of(memory.kept, all, squares);
    return memory;
}

void forget_state_before(StateMean& state, FilterMemory memory_of_unit) {
    const double r = memory_of_unit.kept;
    if (state.scans < fewest_scans) return;
    for (std::size_t i = 0; i < state.series.size(); ++i) {
        const std::vector<double> y = column(*state.readings, i, state.series.size());
        std::vector<double> x;
        x.reserve(y.size() - 1);
        for (std::size_t k = 1; k < y.size(); ++k) {
            x.push_back(y[k] + (y[k] - y[k - 1]) * (r / (1.0 - r)));
        }
        const statistics::Stretch sums = statistics::stretch_of(x);
        SeriesMean& s = state.series[i];
        s.mean = sums.mean;
        s.squares = sums.squares;
        s.lagged = sums.lagged;
        s.per_memory =
            (y.back() - y.front()) / (static_cast<double>(y.size() - 1) * (1.0 - r) * (1.0 - r));
        // Peaks are those of the product's own readings, the fading memory taken off.
        double memory = y[0] - s.mean;
        s.low = s.high = y[0] - memory;
        for (std::size_t k = 1; k < y.size(); ++k) {
            memory *= r;
            s.low = std::min(s.low, y[k] - memory);
            s.high = std::max(s.high, y[k] - memory);
        }
    }
    state.scans -= 1;
    state.memory = r;
    state.memory_standard = memory_of_unit.standard;
}

}  // namespace padtrim::metrology
