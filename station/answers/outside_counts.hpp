// How many single values lie outside limits that are not in force: what these would have cost.
// Counted over all values, from the ledger's columns, not estimated from a distribution.
#pragma once

#include <span>
#include <vector>

#include "db/ledger/rollup_reader.hpp"
#include "db/quality/capability.hpp"

namespace padtrim::answers {

struct OutsideCount {
    std::uint64_t values = 0, below = 0, above = 0;
    void add(std::span<const double> some, const quality::SpecLimits& limits);
    friend bool operator==(const OutsideCount&, const OutsideCount&) = default;
};
struct PlaceOutside {
    ledger::CheckPlace place;
    OutsideCount count;
};

[[nodiscard]] journal::Stored<std::vector<PlaceOutside>> outside_counts(
    ledger::Reader& reader, const ledger::RollupFilter& filter, const ledger::PlaceFilter& places,
    const quality::SpecLimits& limits);

}  // namespace padtrim::answers
