// Operating characteristics of sampling plans: how likely a lot of a given quality is accepted.
//
//   attributes, long series   P(Bin(n, p) <= c)
//   attributes, one lot       hypergeometric: D nonconforming of N
//   variables, s method       P(T'(n - 1, z(1 - p) sqrt n) >= k sqrt n), T' noncentral t, one
//   limit,
//                             normal process (ISO 3951-1, s method)
//
// Pure and thread safe. Flaws: out_of_domain for a share outside (0, 1) (0 and 1 are allowed for
// attributes), a sample larger than the lot, or c >= n; too_few_points for an empty sample, or for
// fewer than two values by variables; not_finite.
#pragma once

#include <cstdint>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

// Accept where at most `accept` of `sample` units are nonconforming.
struct AttributesPlan {
    std::uint64_t sample = 0, accept = 0;
    friend bool operator==(const AttributesPlan&, const AttributesPlan&) = default;
};
[[nodiscard]] Checked<double> acceptance(const AttributesPlan& plan, double nonconforming_share);
[[nodiscard]] Checked<double> acceptance_of_lot(const AttributesPlan& plan,
                                                std::uint64_t nonconforming, std::uint64_t lot);
// The share that is accepted with this probability: the characteristic read backwards.
[[nodiscard]] Checked<double> share_accepted(const AttributesPlan& plan, double probability);
// Mean share that goes out where rejected lots are sorted and mended: Pa p (N - n) / N.
[[nodiscard]] Checked<double> outgoing_share(const AttributesPlan& plan, double nonconforming_share,
                                             std::uint64_t lot);

// Accept where (limit - mean) / s is at least k.
struct VariablesPlan {
    std::uint64_t sample = 0;
    double k = 0.0;
};
[[nodiscard]] Checked<double> acceptance(const VariablesPlan& plan, double nonconforming_share);

// The smallest plan by attributes that accepts `good` with at least 1 - producer's risk and `bad`
// with at most the consumer's risk (Guenther, J. Quality Technology 1 (1969) 82). no_convergence
// beyond 10 000 allowed nonconforming units.
struct RiskPoints {
    double good = 0.01, producers_risk = 0.05;
    double bad = 0.05, consumers_risk = 0.10;
};
[[nodiscard]] Checked<AttributesPlan> plan_for(const RiskPoints& risks);

}  // namespace padtrim::statistics
