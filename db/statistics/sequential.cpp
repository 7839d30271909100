#include "db/statistics/sequential.hpp"

#include <algorithm>
#include <cmath>

#include "db/statistics/distributions.hpp"

namespace padtrim::statistics {

WaldTest::WaldTest(const Design& design)
    : design_(design),
      log_a_(std::log((1.0 - design.beta) / design.alpha)),
      log_b_(std::log(design.beta / (1.0 - design.alpha))) {}

Checked<WaldTest> WaldTest::of(const Design& design) {
    if (!std::isfinite(design.theta0) || !std::isfinite(design.theta1)) return Flaw::not_finite;
    if (design.theta0 == design.theta1) return Flaw::empty_interval;
    if (!(design.deviation > 0.0) || !std::isfinite(design.deviation)) return Flaw::not_positive;
    const bool risks = design.alpha > 0.0 && design.beta > 0.0 && design.alpha + design.beta < 1.0;
    if (!risks) return Flaw::out_of_domain;
    return WaldTest(design);
}

SequentialState WaldTest::after(double effective_readings, double mean) const {
    const double difference = design_.theta1 - design_.theta0;
    const double variance = design_.deviation * design_.deviation;
    const double log_ratio = effective_readings * difference * (mean - slope()) / variance;
    if (!std::isfinite(log_ratio) || effective_readings < 0.0) return SequentialState::go_on;
    if (log_ratio >= log_a_) return SequentialState::second;
    return log_ratio <= log_b_ ? SequentialState::first : SequentialState::go_on;
}

// Where theta1 is the smaller the line that accepts it lies below.
double WaldTest::lower_intercept() const {
    const double difference = design_.theta1 - design_.theta0;
    return design_.deviation * design_.deviation * (difference > 0.0 ? log_b_ : log_a_) /
           difference;
}

double WaldTest::upper_intercept() const {
    const double difference = design_.theta1 - design_.theta0;
    return design_.deviation * design_.deviation * (difference > 0.0 ? log_a_ : log_b_) /
           difference;
}

// h with E exp(h z) = 1 for the log ratio z of one reading; 0 at the midpoint.
double WaldTest::exponent(double theta) const {
    return 2.0 * (slope() - theta) / (design_.theta1 - design_.theta0);
}

Checked<double> WaldTest::first_probability(double theta) const {
    if (!std::isfinite(theta)) return Flaw::not_finite;
    const double h = exponent(theta);
    if (std::abs(h) < 1e-9) return log_a_ / (log_a_ - log_b_);
    // (A^h - 1) / (A^h - B^h), divided by whichever power is large.
    if (h > 0.0) return std::expm1(-h * log_a_) / std::expm1(h * (log_b_ - log_a_));
    return std::exp(-h * log_b_) * std::expm1(h * log_a_) / std::expm1(h * (log_a_ - log_b_));
}

Checked<double> WaldTest::expected_readings(double theta) const {
    if (!std::isfinite(theta)) return Flaw::not_finite;
    const double scale = (design_.theta1 - design_.theta0) / design_.deviation;
    if (std::abs(exponent(theta)) < 1e-9) return -log_a_ * log_b_ / (scale * scale);
    const double step = scale * (theta - slope()) / design_.deviation;
    const double first = *first_probability(theta);
    return (first * log_b_ + (1.0 - first) * log_a_) / step;
}

double WaldTest::fixed_readings() const {
    const double za = *normal_quantile(1.0 - design_.alpha);
    const double zb = *normal_quantile(1.0 - design_.beta);
    const double z = (za + zb) * design_.deviation / (design_.theta1 - design_.theta0);
    return z * z;
}

namespace {

// Density of the cumulated sum on the part that goes on, by Simpson's rule. The grid spans only
// what lies within ten deviations of the sum's mean, and is fine enough for one increment.
class Continuation {
  public:
    Continuation(double half_width, double drift) : Continuation(half_width, drift, 1) {
        for (std::size_t i = 0; i < points_; ++i) density_[i] = normal_density(at(i) - drift);
    }
    Continuation(const Continuation& before, double half_width, double drift)
        : Continuation(half_width, drift, before.looks_ + 1) {
        for (std::size_t i = 0; i < points_; ++i) {
            for (std::size_t k = 0; k < before.points_; ++k) {
                density_[i] += before.mass(k) * normal_density(at(i) - before.at(k) - drift);
            }
        }
    }
    // Probability that the next sum, one increment on, exceeds `limit`.
    [[nodiscard]] double above(double limit, double drift) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < points_; ++k) {
            sum += mass(k) * normal_probability(at(k) + drift - limit);
        }
        return sum;
    }
    [[nodiscard]] double below(double limit, double drift) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < points_; ++k) {
            sum += mass(k) * normal_probability(limit - at(k) - drift);
        }
        return sum;
    }

  private:
    Continuation(double half_width, double drift, std::size_t looks) : looks_(looks) {
        const double n = static_cast<double>(looks), reach = 10.0 * std::sqrt(n);
        from_ = std::clamp(n * drift - reach, -half_width, half_width);
        to_ = std::clamp(n * drift + reach, -half_width, half_width);
        constexpr double finest = 200.0, spacing = 0.1;
        const double intervals = std::max(finest, 2.0 * std::ceil((to_ - from_) / spacing / 2.0));
        points_ = static_cast<std::size_t>(intervals) + 1;  // odd, as Simpson's rule asks for
        density_.assign(points_, 0.0);
    }
    [[nodiscard]] double at(std::size_t i) const {
        return from_ + (to_ - from_) * static_cast<double>(i) / static_cast<double>(points_ - 1);
    }
    [[nodiscard]] double mass(std::size_t k) const {
        const double h = (to_ - from_) / static_cast<double>(points_ - 1);
        const bool end = k == 0 || k == points_ - 1;
        const double weight = end ? 1.0 : (k % 2 == 1 ? 4.0 : 2.0);
        return density_[k] * weight * h / 3.0;
    }
    double from_ = 0.0, to_ = 0.0;
    std::size_t looks_ = 1, points_ = 0;
    std::vector<double> density_;
};

std::vector<double> shaped(BoundaryShape shape, std::size_t looks, double constant) {
    std::vector<double> boundaries;
    for (std::size_t k = 1; k <= looks; ++k) {
        const double part = static_cast<double>(looks) / static_cast<double>(k);
        boundaries.push_back(shape == BoundaryShape::pocock ? constant
                                                            : constant * std::sqrt(part));
    }
    return boundaries;
}

}  // namespace

Checked<GroupOutcome> group_outcome(std::span<const double> boundaries, double drift) {
    if (boundaries.empty()) return Flaw::too_few_points;
    if (!all_finite(boundaries) || !std::isfinite(drift)) return Flaw::not_finite;
    for (const double b : boundaries) {
        if (!(b > 0.0)) return Flaw::not_positive;
    }
    const double looks = static_cast<double>(boundaries.size());
    const double step = drift / std::sqrt(looks);  // of one increment with unit variance
    GroupOutcome outcome;
    outcome.above = normal_probability(step - boundaries[0]);
    outcome.below = normal_probability(-boundaries[0] - step);
    outcome.expected_looks = 1.0;
    Continuation going(boundaries[0], step);
    for (std::size_t k = 1; k < boundaries.size(); ++k) {
        outcome.expected_looks += 1.0 - outcome.above - outcome.below;
        const double limit = boundaries[k] * std::sqrt(static_cast<double>(k + 1));
        outcome.above += going.above(limit, step);
        outcome.below += going.below(-limit, step);
        if (k + 1 < boundaries.size()) going = Continuation(going, limit, step);
    }
    return outcome;
}

Checked<std::vector<double>> group_boundaries(BoundaryShape shape, std::size_t looks,
                                              double two_sided_risk) {
    if (looks == 0) return Flaw::too_few_points;
    if (!(two_sided_risk > 0.0 && two_sided_risk < 1.0)) return Flaw::out_of_domain;
    double low = *normal_quantile(1.0 - 0.5 * two_sided_risk) * 0.99, high = low + 4.0;
    // The risk falls as the constant grows; 40 halvings leave 4e-12.
    for (int i = 0; i < 40; ++i) {
        const double middle = 0.5 * (low + high);
        const auto outcome = group_outcome(shaped(shape, looks, middle), 0.0);
        if (!outcome) return outcome.error();
        (outcome->above + outcome->below > two_sided_risk ? low : high) = middle;
    }
    return shaped(shape, looks, 0.5 * (low + high));
}

}  // namespace padtrim::statistics
