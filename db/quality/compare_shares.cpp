#include "db/quality/compare_shares.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "db/statistics/distributions.hpp"

namespace padtrim::quality {

using statistics::Checked;
using statistics::Flaw;

namespace {

constexpr double least_expected = 5.0;

double portion(const Counted& counted) {
    return static_cast<double>(counted.part) / static_cast<double>(counted.whole);
}

Checked<Counted> pooled(std::span<const Counted> shares) {
    Counted all;
    for (const Counted& each : shares) {
        if (each.whole == 0) return Flaw::too_few_points;
        if (each.part > each.whole) return Flaw::out_of_domain;
        all.part += each.part;
        all.whole += each.whole;
    }
    return all;
}

double smallest_expected(std::span<const Counted> shares, double common) {
    double smallest = INFINITY;
    for (const Counted& each : shares)
        smallest =
            std::min(smallest, static_cast<double>(each.whole) * std::min(common, 1.0 - common));
    return smallest;
}

}  // namespace

Checked<Homogeneity> homogeneity(std::span<const Counted> shares) {
    if (shares.size() < 2) return Flaw::too_few_points;
    const Checked<Counted> all = pooled(shares);
    if (!all) return all.error();
    Homogeneity result;
    result.degrees = static_cast<double>(shares.size() - 1);
    if (all->part == 0 || all->part == all->whole) return result;
    const double common = portion(*all);
    if (smallest_expected(shares, common) < least_expected) {
        if (shares.size() > 2) return Flaw::too_few_points;
        result.test = ShareTest::exact;
        const auto exact = statistics::fisher_exact(shares[0], shares[1]);
        if (!exact) return exact.error();
        result.significance = *exact;
        return result;
    }
    for (const Counted& each : shares) {
        const double d = portion(each) - common;
        result.chi_squared += d * d * static_cast<double>(each.whole) / (common * (1.0 - common));
    }
    const auto tail = statistics::fisher_upper_probability(result.chi_squared / result.degrees,
                                                           result.degrees, INFINITY);
    if (!tail) return tail.error();
    result.significance = *tail;
    return result;
}

Checked<ShareDifference> compare_shares(const Counted& a, const Counted& b, double coverage) {
    const auto of_a = statistics::wilson_interval(a.part, a.whole, coverage);
    if (!of_a) return of_a.error();
    const auto of_b = statistics::wilson_interval(b.part, b.whole, coverage);
    if (!of_b) return of_b.error();
    const Counted both[] = {a, b};
    const auto test = homogeneity(both);
    if (!test) return test.error();
    const double p = portion(a), q = portion(b);
    ShareDifference result;
    result.value = p - q;
    result.test = *test;
    result.difference.low = result.value - std::hypot(p - of_a->low, of_b->high - q);
    result.difference.high = result.value + std::hypot(of_a->high - p, q - of_b->low);
    return result;
}

Checked<std::vector<double>> holm(std::span<const double> significances) {
    if (significances.empty()) return Flaw::too_few_points;
    for (const double p : significances)
        if (!(p >= 0.0 && p <= 1.0)) return Flaw::out_of_domain;
    std::vector<std::size_t> order(significances.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t k) {
        return significances[i] < significances[k];
    });
    std::vector<double> adjusted(significances.size());
    double last = 0.0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
        const double tests = static_cast<double>(order.size() - rank);
        last = std::max(last, std::min(1.0, tests * significances[order[rank]]));
        adjusted[order[rank]] = last;
    }
    return adjusted;
}

}  // namespace padtrim::quality
