#include "db/statistics/histogram.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace padtrim::statistics {

namespace {

constexpr unsigned mantissa_bits = 52;
constexpr unsigned finest_bits = 10;
constexpr unsigned dropped_bits = mantissa_bits - finest_bits;
// Of infinity, in the finest bins: indices stay below.
constexpr std::int32_t beyond = 0x7FF << finest_bits;

// For positive numbers the order of their bits is the order of the numbers.
std::int32_t finest_index(double value) {
    if (value == 0.0) return 0;
    const auto bits = std::bit_cast<std::uint64_t>(std::abs(value));
    const auto index = static_cast<std::int32_t>(bits >> dropped_bits) + 1;
    return value < 0.0 ? -index : index;
}

std::int32_t joined_index(std::int32_t index, unsigned times) {
    if (index == 0) return 0;
    const std::int32_t size = ((std::abs(index) - 1) >> times) + 1;
    return index < 0 ? -size : size;
}

double edge(std::int64_t index, unsigned joined) {
    const auto bits = static_cast<std::uint64_t>(index) << (dropped_bits + joined);
    const double value = std::bit_cast<double>(bits);
    return std::isfinite(value) ? value : std::numeric_limits<double>::max();
}

void add_to(std::vector<Histogram::Bin>& bins, std::int32_t index, std::uint64_t times) {
    const auto place =
        std::lower_bound(bins.begin(), bins.end(), index,
                         [](const Histogram::Bin& bin, std::int32_t i) { return bin.index < i; });
    if (place != bins.end() && place->index == index) {
        place->count += times;
    } else {
        bins.insert(place, {index, times});
    }
}

}  // namespace

Checked<Histogram> Histogram::from_parts(unsigned joined, std::vector<Bin> bins) {
    if (joined > coarsest || bins.size() > most_bins) return Flaw::out_of_domain;
    const std::int32_t most = joined_index(beyond, joined);
    for (std::size_t i = 0; i < bins.size(); ++i) {
        if (bins[i].count == 0 || bins[i].index < -most || bins[i].index > most)
            return Flaw::out_of_domain;
        if (i > 0 && bins[i - 1].index >= bins[i].index) return Flaw::out_of_domain;
    }
    Histogram result;
    result.joined_ = joined;
    result.bins_ = std::move(bins);
    return result;
}

void Histogram::add(double value, std::uint64_t times) {
    if (!std::isfinite(value) || times == 0) return;
    add_to(bins_, joined_index(finest_index(value), joined_), times);
    keep_within_bound();
}

void Histogram::merge(const Histogram& other) {
    while (joined_ < other.joined_) join_neighbours();
    const unsigned further = joined_ - other.joined_;
    for (const Bin& bin : other.bins_) add_to(bins_, joined_index(bin.index, further), bin.count);
    keep_within_bound();
}

void Histogram::keep_within_bound() {
    while (bins_.size() > most_bins) join_neighbours();
}

void Histogram::join_neighbours() {
    ++joined_;
    std::vector<Bin> coarser;
    for (const Bin& bin : bins_) {
        const std::int32_t index = joined_index(bin.index, 1);
        if (!coarser.empty() && coarser.back().index == index) {
            coarser.back().count += bin.count;
        } else {
            coarser.push_back({index, bin.count});
        }
    }
    bins_ = std::move(coarser);
}

std::uint64_t Histogram::count() const {
    std::uint64_t total = 0;
    for (const Bin& bin : bins_) total += bin.count;
    return total;
}

// Half a bin at the lower end of an octave; a bin that holds more than one octave says nothing.
double Histogram::relative_error() const {
    if (joined_ > finest_bits) return std::numeric_limits<double>::infinity();
    return std::ldexp(0.5, static_cast<int>(joined_) - static_cast<int>(finest_bits));
}

std::pair<double, double> Histogram::edges(const Bin& bin) const {
    if (bin.index == 0) return {0.0, 0.0};
    const std::int64_t size = std::abs(bin.index);
    const double near = edge(size - 1, joined_), far = edge(size, joined_);
    return bin.index < 0 ? std::pair(-far, -near) : std::pair(near, far);
}

Checked<double> Histogram::quantile(double share) const {
    if (!(share >= 0.0 && share <= 1.0)) return Flaw::out_of_domain;
    if (bins_.empty()) return Flaw::too_few_points;
    double wanted = share * static_cast<double>(count());
    for (const Bin& bin : bins_) {
        const double inside = static_cast<double>(bin.count);
        const auto [low, high] = edges(bin);
        if (wanted <= inside) return low + (high - low) * (wanted / inside);
        wanted -= inside;
    }
    return edges(bins_.back()).second;  // rounding of the last share
}

Checked<double> Histogram::share_below(double value) const {
    if (bins_.empty()) return Flaw::too_few_points;
    double below = 0.0;
    for (const Bin& bin : bins_) {
        const auto [low, high] = edges(bin);
        const double inside = static_cast<double>(bin.count);
        if (value >= high)
            below += inside;
        else if (value > low)
            below += inside * (value - low) / (high - low);
    }
    return below / static_cast<double>(count());
}

}  // namespace padtrim::statistics
