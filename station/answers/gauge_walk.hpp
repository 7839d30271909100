// A gauge study step by step: what was measured so far, and what to measure next. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "db/ledger/reader.hpp"
#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

// Common practice, no source: ten units that differ as the line's do, each twice or more.
inline constexpr std::size_t study_units = 10, study_repetitions = 2;

struct GaugeCell {
    std::string serial;
    std::vector<std::size_t> measured;  // one a nest: runs that gave values
};
struct GaugeWalk {
    std::vector<std::uint16_t> nests;
    std::vector<GaugeCell> units;               // in the order they first came
    [[nodiscard]] std::size_t missing() const;  // measurements, of the units that are there
    [[nodiscard]] bool whole() const { return units.size() >= study_units && missing() == 0; }
};

// Of the runs of a lot that only measured, oldest first; nests: those of the fixture.
[[nodiscard]] GaugeWalk gauge_walk(const std::vector<ledger::RunSummary>& runs,
                                   std::vector<std::uint16_t> nests);
[[nodiscard]] journal::Stored<GaugeWalk> gauge_walk(ledger::Reader& reader, const ValueWish& wish);

// What a study comes to, in this order but for `again`: units that are there are measured before
// others join them.
enum class GaugeStep { choose, first, again, read };
[[nodiscard]] std::string_view name_of(GaugeStep step);
[[nodiscard]] GaugeStep step_of(const GaugeWalk& walk);
// The only thing to do next, as one imperative sentence: that step's.
[[nodiscard]] std::string next_measurement(const GaugeWalk& walk);
[[nodiscard]] Json to_json(const GaugeWalk& walk);
[[nodiscard]] Table table_of(const GaugeWalk& walk);

}  // namespace padtrim::answers
