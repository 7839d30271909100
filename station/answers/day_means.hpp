// Means of checks by day, out of the ledger's rollups: what drift and control charts are made of
// where the single values would be too many to look at.
#pragma once

#include <chrono>
#include <optional>
#include <vector>

#include "db/ledger/rollup_reader.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct DayMean {
    std::chrono::sys_days day;
    statistics::Moments moments;
};
struct PlaceDays {
    ledger::CheckPlace place;
    std::vector<DayMean> days;  // ascending; units by their first try
};
struct DaySeries {
    std::vector<PlaceDays> places;  // in the order of step, check, key, channel, frequency
    std::optional<ledger::RunSummary> newest;
    language::PlanPtr plan;  // of the newest run; null where it cannot be read
};

// The units that the wish asks for, in the ledger's rollups: whole days, its bounds within a day
// widened to the day's.
[[nodiscard]] ledger::RollupFilter days_of(const ValueWish& wish);
[[nodiscard]] ledger::PlaceFilter places_of(const ValueWish& wish);
// The same units. None where rollups cannot tell them: every try, or times within a day.
[[nodiscard]] std::optional<ledger::RollupFilter> rollups_of(const ValueWish& wish);
// More units than wish.single_units, and rollups can tell them.
[[nodiscard]] journal::Stored<bool> too_many_units(ledger::Reader& reader, const ValueWish& wish);
// Of a wish that rollups can tell.
[[nodiscard]] journal::Stored<DaySeries> day_series(ledger::Reader& reader, const ValueWish& wish);

}  // namespace padtrim::answers
