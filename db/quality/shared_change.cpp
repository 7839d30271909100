#include "db/quality/shared_change.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr double good_agreement = 0.1;  // our choice, no source

struct WeightedMean {
    double value = 0.0, standard = 0.0, degrees = 0.0;
    double consistency = 1.0;
};

// Satterthwaite's, of a sum with these parts of its variance.
class EffectiveDegrees {
  public:
    void add(double variance, double degrees) {
        sum_ += variance;
        squares_ += variance * variance / degrees;  // nothing where the degrees are endless
    }
    [[nodiscard]] double value() const {
        return squares_ > 0.0 ? sum_ * sum_ / squares_ : INFINITY;
    }

  private:
    double sum_ = 0.0, squares_ = 0.0;
};

double weight_of(const ChangeOf& change) {
    return 1.0 / (change.standard * change.standard);
}

// Welch's test that all changes are alike.
Checked<double> consistency_of(std::span<const ChangeOf> changes, double mean, double weights) {
    const double k = static_cast<double>(changes.size());
    double between = 0.0, doubt = 0.0;
    for (const ChangeOf& change : changes) {
        const double d = change.value - mean, rest = 1.0 - weight_of(change) / weights;
        between += weight_of(change) * d * d;
        doubt += rest * rest / change.degrees;
    }
    const double f = between / (k - 1.0) / (1.0 + 2.0 * (k - 2.0) / (k * k - 1.0) * doubt);
    const double degrees = doubt > 0.0 ? (k * k - 1.0) / (3.0 * doubt) : INFINITY;
    return statistics::fisher_upper_probability(f, k - 1.0, degrees);
}

Checked<WeightedMean> mean_of(std::span<const ChangeOf> changes) {
    double weights = 0.0, sum = 0.0;
    for (const ChangeOf& change : changes) {
        weights += weight_of(change);
        sum += weight_of(change) * change.value;
    }
    WeightedMean mean{sum / weights, 1.0 / std::sqrt(weights), 0.0, 1.0};
    if (!std::isfinite(mean.value) || !(mean.standard > 0.0)) return Flaw::not_finite;
    EffectiveDegrees degrees;
    for (const ChangeOf& change : changes) degrees.add(weight_of(change), change.degrees);
    mean.degrees = degrees.value();
    if (changes.size() < 2) return mean;
    const auto consistency = consistency_of(changes, mean.value, weights);
    if (!consistency) return consistency.error();
    mean.consistency = *consistency;
    return mean;
}

Checked<WeightedMean> mean_without(std::span<const ChangeOf> changes, std::size_t one) {
    std::vector<ChangeOf> rest(changes.begin(), changes.end());
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(one));
    return mean_of(rest);
}

Checked<double> two_sided(double value, double standard, double degrees) {
    const auto tail = statistics::student_probability(-std::abs(value) / standard, degrees);
    if (!tail) return tail.error();
    return 2.0 * *tail;
}

Checked<void> sound(const ChangeOf& change) {
    if (!std::isfinite(change.value) || !std::isfinite(change.standard)) return Flaw::not_finite;
    if (!(change.standard > 0.0)) return Flaw::not_positive;
    if (!(change.degrees > 0.0)) return Flaw::out_of_domain;
    return {};
}

Checked<void> take(SharedChange& shared, const WeightedMean& mean) {
    shared.value = mean.value;
    shared.standard = mean.standard;
    shared.degrees = mean.degrees;
    const auto significance = two_sided(mean.value, mean.standard, mean.degrees);
    if (!significance) return significance.error();
    shared.significance = *significance;
    return {};
}

// The only standard without which the rest agree; none where there is no such, or are several.
std::optional<std::size_t> apart_from(std::span<const ChangeOf> changes, double risk) {
    std::optional<std::size_t> apart;
    if (changes.size() < 3) return apart;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        const auto rest = mean_without(changes, i);
        if (!rest || rest->consistency < risk) continue;
        if (apart) return std::nullopt;
        apart = i;
    }
    return apart;
}

}  // namespace

Checked<ChangeOf> change_of(std::string name, std::span<const double> baseline,
                            std::span<const double> recent) {
    if (!statistics::all_finite(baseline) || !statistics::all_finite(recent))
        return Flaw::not_finite;
    const auto before = statistics::Moments::of(baseline), after = statistics::Moments::of(recent);
    EffectiveDegrees degrees;
    double variance = 0.0;
    for (const statistics::Moments& each : {before, after}) {
        const auto of_one = each.variance();
        if (!of_one) return of_one.error();
        const double n = static_cast<double>(each.count());
        variance += *of_one / n;
        degrees.add(*of_one / n, n - 1.0);
    }
    if (!(variance > 0.0)) return Flaw::not_positive;
    return ChangeOf{std::move(name), *after.mean() - *before.mean(), std::sqrt(variance),
                    degrees.value()};
}

Checked<SharedChange> shared_change(std::span<const ChangeOf> standards, double risk) {
    if (standards.size() < 2) return Flaw::too_few_points;
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    for (const ChangeOf& change : standards)
        if (const auto ok = sound(change); !ok) return ok.error();
    const auto all = mean_of(standards);
    if (!all) return all.error();
    SharedChange shared;
    if (const auto ok = take(shared, *all); !ok) return ok.error();
    shared.consistency = all->consistency;
    shared.consistent = all->consistency >= risk;
    if (shared.consistent) {
        const bool agreed = shared.consistency >= std::max(risk, good_agreement);
        if (agreed && shared.significance < risk) shared.whose = Whose::station;
        return shared;
    }
    const auto apart = apart_from(standards, risk);
    if (!apart) return shared;
    if (const auto ok = take(shared, *mean_without(standards, *apart)); !ok) return ok.error();
    shared.apart = standards[*apart].name;
    shared.whose = shared.significance < risk ? Whose::station_and_standard : Whose::standard;
    return shared;
}

Checked<ProductChange> product_change(const ChangeOf& product, const SharedChange& station,
                                      double risk) {
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    if (const auto ok = sound(product); !ok) return ok.error();
    if (!(station.standard > 0.0) || !std::isfinite(station.value)) return Flaw::not_positive;
    ProductChange change;
    change.value = product.value - station.value;
    change.standard = std::hypot(product.standard, station.standard);
    EffectiveDegrees degrees;
    degrees.add(product.standard * product.standard, product.degrees);
    degrees.add(station.standard * station.standard, station.degrees);
    change.degrees = degrees.value();
    const auto significance = two_sided(change.value, change.standard, change.degrees);
    if (!significance) return significance.error();
    change.significance = *significance;
    const bool agreed = station.consistent || station.apart.has_value();
    change.distinguishable = agreed && change.significance < risk;
    return change;
}

}  // namespace padtrim::quality
