#include "station/answers/bins.hpp"

#include <algorithm>
#include <cmath>

namespace padtrim::answers {
namespace {

// 1, 2 or 5 times a power of ten, not below `width`.
double round_width(double width) {
    const double ten = std::pow(10.0, std::floor(std::log10(width)));
    for (const double step : {1.0, 2.0, 5.0})
        if (step * ten >= width * (1.0 - 1e-9)) return step * ten;
    return 10.0 * ten;
}

double wished_width(const std::vector<double>& sorted) {
    constexpr double fewest = 5.0, most = 40.0;
    const double range = sorted.back() - sorted.front();
    const double quartiles = sorted[3 * (sorted.size() - 1) / 4] - sorted[(sorted.size() - 1) / 4];
    const double width = 2.0 * quartiles / std::cbrt(static_cast<double>(sorted.size()));
    return std::clamp(width, range / most, range / fewest);
}

}  // namespace

std::vector<DrawnBin> bins_of(std::span<const double> values) {
    std::vector<double> sorted;
    std::copy_if(values.begin(), values.end(), std::back_inserter(sorted),
                 [](double value) { return std::isfinite(value); });
    if (sorted.empty()) return {};
    std::sort(sorted.begin(), sorted.end());
    const double range = sorted.back() - sorted.front();
    if (!(range > 0.0) || !std::isfinite(range))
        return {{sorted.front(), static_cast<double>(sorted.size())}};
    const double width = round_width(wished_width(sorted));
    const double first = std::floor(sorted.front() / width);
    const auto count = static_cast<std::size_t>(std::floor(sorted.back() / width) - first) + 1;
    std::vector<DrawnBin> bins(count);
    for (std::size_t i = 0; i < count; ++i)
        bins[i].centre = (first + static_cast<double>(i) + 0.5) * width;
    for (const double value : sorted) {
        const auto at = static_cast<std::size_t>(std::floor(value / width) - first);
        bins[std::min(at, count - 1)].count += 1.0;
    }
    return bins;
}

std::vector<DrawnBin> bins_of(const statistics::Histogram& histogram) {
    constexpr double wished = 30.0;
    const auto kept = histogram.bins();
    if (kept.empty()) return {};
    const double low = histogram.edges(kept.front()).first;
    const double high = histogram.edges(kept.back()).second;
    if (!(high > low) || !std::isfinite(high - low))
        return {{low, static_cast<double>(histogram.count())}};
    const double width = round_width((high - low) / wished);
    const double first = std::floor(low / width);
    const auto count = static_cast<std::size_t>(std::floor(high / width) - first) + 1;
    std::vector<DrawnBin> bins(count);
    for (std::size_t i = 0; i < count; ++i)
        bins[i].centre = (first + static_cast<double>(i) + 0.5) * width;
    for (const auto& bin : kept) {
        const auto [from, to] = histogram.edges(bin);
        const double whole = static_cast<double>(bin.count);
        const auto begin = static_cast<std::size_t>(std::floor(from / width) - first);
        const auto end =
            std::min(count - 1, static_cast<std::size_t>(std::floor(to / width) - first));
        for (std::size_t i = begin; i <= end; ++i) {
            const double left = (first + static_cast<double>(i)) * width;
            const double shared = std::min(to, left + width) - std::max(from, left);
            bins[i].count += to > from ? whole * shared / (to - from) : whole;
        }
    }
    return bins;
}

}  // namespace padtrim::answers
