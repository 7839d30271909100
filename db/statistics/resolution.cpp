#include "db/statistics/resolution.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace padtrim::statistics {

namespace {

std::optional<Flaw> flaw_of(double variance) {
    if (!std::isfinite(variance)) return Flaw::not_finite;
    if (variance < 0.0) return Flaw::not_positive;
    return std::nullopt;
}

}  // namespace

Checked<double> rounding_of_mean(double noise_variance) {
    constexpr double pi_squared = 9.8696044010893586;
    if (const auto flaw = flaw_of(noise_variance)) return *flaw;
    if (noise_variance == 0.0) return 1.0 / 12.0;
    // Little noise: the same sum by Poisson's formula, whose other terms are below 1e-9 here.
    if (noise_variance < 0.01) {
        return 1.0 / 12.0 - std::sqrt(noise_variance / std::numbers::pi) + noise_variance;
    }
    const double falloff = 4.0 * pi_squared * noise_variance;
    if (falloff > 40.0) return 0.0;
    double sum = 0.0;
    for (int k = 1; k <= 12; ++k) {
        const double k2 = static_cast<double>(k) * k;
        const double term = std::exp(-falloff * k2) / (2.0 * pi_squared * k2);
        sum += term;
        if (term < 1e-12) break;
    }
    return sum;
}

Checked<double> noise_before_rounding(double observed_variance) {
    if (const auto flaw = flaw_of(observed_variance)) return *flaw;
    return std::max(0.0, observed_variance - 1.0 / 12.0);
}

Checked<double> rounding_left(double observed_variance) {
    const auto noise = noise_before_rounding(observed_variance);
    return noise ? rounding_of_mean(*noise) : noise;
}

}  // namespace padtrim::statistics
