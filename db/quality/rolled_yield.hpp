// Yield over steps that follow each other, and what retests recover. Pure.
//
// rolled throughput yield = product of the steps' first-pass yields; normalised = its k-th root
// (the mean yield of a step); defects per unit = -ln of it (Poisson). The interval multiplies the
// steps' exact limits at coverage 1 - (1 - coverage) / k (Bonferroni): it never covers less than
// stated and does not ask that the steps be independent.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "db/quality/compare_shares.hpp"
#include "db/quality/yield.hpp"

namespace padtrim::quality {

struct RolledYield {
    double value = 1.0, normalised = 1.0;
    double defects_per_unit = 0.0;  // infinite where a step let nothing pass
    statistics::ProportionInterval interval;
};
// Each step: passed at first (part) of tried (whole).
[[nodiscard]] statistics::Checked<RolledYield> rolled_yield(std::span<const Counted> steps,
                                                            double coverage = 0.95);

// Retest recovery of one nest or check: recovered of rejected at first. A group that recovers more
// than the rest rejects good units: `significance` compares it with all the others together,
// adjusted for the number of groups (Holm).
struct Recovery {
    std::string name;
    Share share;
    double rest = 0.0;          // the others' recovery
    double significance = 1.0;  // 1 where there are no others
    [[nodiscard]] bool suspect(double risk) const {
        return significance < risk && share.value > rest;
    }
};
struct RejectedFirst {
    std::string name;
    Counted recovered;
};
// Groups that rejected nothing are left out.
[[nodiscard]] statistics::Checked<std::vector<Recovery>> recoveries(
    std::span<const RejectedFirst> groups, double coverage = 0.95);

}  // namespace padtrim::quality
