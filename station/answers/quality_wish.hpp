// What part of the records a quality question goes over, in the ledger's two forms: rollups for
// counts and sums, runs for single values. Pure.
#pragma once

#include <optional>
#include <string>

#include "db/ledger/rollup_reader.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct QualityWish {
    std::optional<record::WallTime> since, until;  // until: not itself
    std::optional<std::string> lot, station, product, recipe, recipe_revision, fixture;
    std::optional<std::string> check, key, step;
    std::optional<int> channel, frequency;
    std::optional<std::uint16_t> nest;
    bool measure_only = false, drafts = false;
};

// Rollups know days only: times within a day are a matter of ValueWish.
[[nodiscard]] ledger::RollupFilter rollups_of(const QualityWish& wish);
[[nodiscard]] ledger::PlaceFilter places_of(const QualityWish& wish, record::Stage stage);
[[nodiscard]] ValueWish values_of(const QualityWish& wish, record::Stage stage);

}  // namespace padtrim::answers
