#include "station/metrology/surface.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

namespace {

// Two points that differ by less are taken to be on one level (two-sided normal, 0.3 %).
constexpr double level_deviations = 3.0;

bool alike(const CurvePoint& a, double level, double standard) {
    return std::abs(a.change - level) <= level_deviations * std::hypot(a.standard, standard);
}

}  // namespace

Checked<FoundSurface> surface_of(std::span<const CurvePoint> points) {
    if (points.size() < 4) return Flaw::too_few_points;
    std::vector<CurvePoint> rising(points.begin(), points.end());
    for (const CurvePoint& p : rising)
        if (!std::isfinite(p.height.value() + p.change + p.standard)) return Flaw::not_finite;
    std::sort(rising.begin(), rising.end(),
              [](const CurvePoint& a, const CurvePoint& b) { return a.height < b.height; });
    double sum = rising[0].change, variance = rising[0].standard * rising[0].standard;
    std::size_t on_level = 1;
    while (on_level < rising.size()) {
        const auto n = static_cast<double>(on_level);
        if (!alike(rising[on_level], sum / n, std::sqrt(variance) / n)) break;
        sum += rising[on_level].change;
        variance += rising[on_level].standard * rising[on_level].standard;
        ++on_level;
    }
    if (on_level < 2) return Flaw::too_few_points;
    if (on_level + 1 >= rising.size()) return Flaw::no_convergence;
    const double level = sum / static_cast<double>(on_level);
    const CurvePoint& below = rising[on_level - 1];
    const CurvePoint& above = rising[on_level];
    const CurvePoint& next = rising[on_level + 1];
    const double slope = (next.change - above.change) / (next.height - above.height).value();
    double height = below.height.value();
    if (slope < 0.0) height = above.height.value() + (level - above.change) / slope;
    FoundSurface found;
    found.height = std::clamp(Millimetre(height), below.height, above.height);
    found.standard = (above.height - below.height) / std::sqrt(12.0);
    found.level = level;
    return found;
}

}  // namespace padtrim::metrology
