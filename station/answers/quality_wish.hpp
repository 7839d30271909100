// What part of the records a quality question goes over: in words, as people type it on the command
// line or in an address, and in the ledger's two forms: rollups for counts and sums, runs for
// single values.
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

// As typed.
struct QualityWords {
    std::string since, until;  // ISO 8601; "": no bound
    std::optional<std::string> lot, station, product, recipe, recipe_revision, fixture;
    std::optional<std::string> check, key, step;
    std::optional<int> channel, frequency;
    std::optional<std::uint16_t> nest;
    bool measure_only = false, drafts = false;
};
struct WishRead {
    QualityWish wish;
    std::string problem;  // a time that is none, a lot that is not there; "": none
};
// A lot that is named is meant, whether it only measured, or ran on a draft.
[[nodiscard]] journal::Stored<WishRead> read_wish(ledger::Reader& reader,
                                                  const QualityWords& words);

// The plan of the newest run that was asked for, for the panel's geometry; null where there is
// none.
[[nodiscard]] journal::Stored<language::PlanPtr> plan_of_wish(ledger::Reader& reader,
                                                              const QualityWish& wish);

// Rollups know days only: times within a day are a matter of ValueWish.
[[nodiscard]] ledger::RollupFilter rollups_of(const QualityWish& wish);
[[nodiscard]] ledger::PlaceFilter places_of(const QualityWish& wish, record::Stage stage);
// Of a wish with times within a day: which whole days its rollups are of, as a sentence; else "".
[[nodiscard]] std::string whole_days_words(const QualityWish& wish);
[[nodiscard]] ValueWish values_of(const QualityWish& wish, record::Stage stage);

// Of a gauge study: every run of lots that only measured, whatever the plan's standing, since
// nothing is written to units.
[[nodiscard]] ValueWish study_values_of(const QualityWish& wish, record::Stage stage);

}  // namespace padtrim::answers
