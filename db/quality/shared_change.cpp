#include "db/quality/shared_change.hpp"

#include <cmath>
#include <vector>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

struct WeightedMean {
    double value = 0.0, standard = 0.0;
    double consistency = 1.0;
};

// All but the one at `without`.
Checked<WeightedMean> mean_of(std::span<const ChangeOf> changes,
                              std::optional<std::size_t> without = {}) {
    double weights = 0.0, sum = 0.0, count = 0.0;
    const auto taken = [&](std::size_t i) { return !without || i != *without; };
    for (std::size_t i = 0; i < changes.size(); ++i) {
        if (!taken(i)) continue;
        const double weight = 1.0 / (changes[i].standard * changes[i].standard);
        weights += weight;
        sum += weight * changes[i].value;
        count += 1.0;
    }
    WeightedMean mean{sum / weights, 1.0 / std::sqrt(weights), 1.0};
    if (!std::isfinite(mean.value) || !(mean.standard > 0.0)) return Flaw::not_finite;
    if (count < 2.0) return mean;
    double chi_squared = 0.0;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        const double z = (changes[i].value - mean.value) / changes[i].standard;
        if (taken(i)) chi_squared += z * z;
    }
    const double degrees = count - 1.0;
    const auto tail =
        statistics::fisher_upper_probability(chi_squared / degrees, degrees, INFINITY);
    if (!tail) return tail.error();
    mean.consistency = *tail;
    return mean;
}

double two_sided(double value, double standard) {
    return 2.0 * statistics::normal_probability(-std::abs(value) / standard);
}

Checked<void> sound(const ChangeOf& change) {
    if (!std::isfinite(change.value) || !std::isfinite(change.standard)) return Flaw::not_finite;
    if (!(change.standard > 0.0)) return Flaw::not_positive;
    return {};
}

void take(SharedChange& shared, const WeightedMean& mean) {
    shared.value = mean.value;
    shared.standard = mean.standard;
    shared.significance = two_sided(mean.value, mean.standard);
}

// The only standard without which the rest agree; none where there is no such, or are several.
std::optional<std::size_t> apart_from(std::span<const ChangeOf> changes, double risk) {
    std::optional<std::size_t> apart;
    if (changes.size() < 3) return apart;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        const auto rest = mean_of(changes, i);
        if (!rest || rest->consistency < risk) continue;
        if (apart) return std::nullopt;
        apart = i;
    }
    return apart;
}

}  // namespace

Checked<SharedChange> shared_change(std::span<const ChangeOf> standards, double risk) {
    if (standards.size() < 2) return Flaw::too_few_points;
    if (!(risk > 0.0 && risk < 1.0)) return Flaw::out_of_domain;
    for (const ChangeOf& change : standards)
        if (const auto ok = sound(change); !ok) return ok.error();
    const auto all = mean_of(standards);
    if (!all) return all.error();
    SharedChange shared;
    take(shared, *all);
    shared.consistency = all->consistency;
    shared.consistent = all->consistency >= risk;
    if (shared.consistent) {
        if (shared.significance < risk) shared.whose = Whose::station;
        return shared;
    }
    const auto apart = apart_from(standards, risk);
    if (!apart) return shared;
    take(shared, *mean_of(standards, apart));
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
    change.significance = two_sided(change.value, change.standard);
    const bool agreed = station.consistent || station.apart.has_value();
    change.distinguishable = agreed && change.significance < risk;
    return change;
}

}  // namespace padtrim::quality
