// Values of checks in the order their runs began: what capability, control charts, drift and gauge
// studies are made of when single values are wanted.
//
// A unit counts once, by its first try (a run that gave a verdict) among the runs asked for, as in
// the ledger's rollups; a gauge study takes every run. Values as found and as left never meet in
// one series.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <boost/json/object.hpp>

#include "db/ledger/reader.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::answers {

enum class WhichTries { first, every };

// Up to so many units, drift, control charts and capability go over single values; beyond, over the
// ledger's rollups (day_means.hpp).
inline constexpr std::uint64_t most_single_units = 5000;

struct ValueWish {
    ledger::RunFilter runs;
    std::optional<std::string> check, key, step;
    std::optional<int> channel, frequency;
    std::optional<std::uint16_t> nest;
    record::Stage stage = record::Stage::as_found;
    WhichTries tries = WhichTries::first;
    std::uint64_t single_units = most_single_units;
};

struct SeriesValue {
    std::size_t run = 0;  // place in ValueSeries::runs
    double value = 0.0, standard_uncertainty = 0.0, coverage_factor = 2.0;
    record::Verdict verdict = record::Verdict::no_verdict;
};
struct PlaceSeries {
    ledger::CheckPlace place;
    std::optional<double> low, high;  // limits of the newest value
    bool limits_changed = false;      // earlier values had other limits
    std::vector<SeriesValue> values;
    [[nodiscard]] std::vector<double> numbers() const;
};
struct ValueSeries {
    std::vector<ledger::RunSummary> runs;  // oldest first
    std::vector<PlaceSeries> places;       // in the order of step, check, key, channel, frequency
    language::PlanPtr plan;                // of the newest run; null where it cannot be read
};

[[nodiscard]] journal::Stored<ValueSeries> value_series(ledger::Reader& reader,
                                                        const ValueWish& wish);
// The runs alone.
[[nodiscard]] journal::Stored<std::vector<ledger::RunSummary>> wished_runs(ledger::Reader& reader,
                                                                           const ValueWish& wish);
[[nodiscard]] journal::Stored<language::PlanPtr> plan_of_newest(
    ledger::Reader& reader, const std::vector<ledger::RunSummary>& runs);

// Its members step, check, key, channel, frequency, stage and unit, for an answer to add to.
[[nodiscard]] boost::json::object members_of(const ledger::CheckPlace& place);
// "gain, key timer, channel 2, 250 kHz"; the channel only where a key has several.
[[nodiscard]] std::string words_of(const ledger::CheckPlace& place, const language::PlanPtr& plan);
// "timer, 250 kHz": the same without the check.
[[nodiscard]] std::string where_of(const ledger::CheckPlace& place, const language::PlanPtr& plan);

}  // namespace padtrim::answers
