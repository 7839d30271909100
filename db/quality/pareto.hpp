// What fails most: counts in falling order with their running share (Juran's Pareto principle).
// Pure.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "db/statistics/flaw.hpp"

namespace padtrim::quality {

struct NamedCount {
    std::string name;
    std::uint64_t count = 0;
};
struct ParetoRow {
    std::string name;
    std::uint64_t count = 0;
    double share = 0.0;    // of all counts
    double running = 0.0;  // of this row and those above
};
// Equal counts stand by name, so that the order never depends on the input's; equal names are
// added; counts of 0 are left out. too_few_points when nothing was counted.
[[nodiscard]] statistics::Checked<std::vector<ParetoRow>> pareto(
    std::span<const NamedCount> counts);

// How many rows from the top make up `share` of all.
[[nodiscard]] std::size_t vital_few(std::span<const ParetoRow> rows, double share);

}  // namespace padtrim::quality
