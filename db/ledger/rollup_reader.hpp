// The quality team's questions, answered from the rollups alone: yields, failing checks and values
// of checks, over all time or a part of it. A question costs as much as it has days, shifts, nests
// and keys, however many units were run.
//
// What is counted (docs/ledger.md, "Rollups"; the same words as in db/record/rolled_up.hpp):
// - a unit once, where and when its first run began; by its first and last try (a run that gave a
//   verdict) and by its newest ended run. Retest recovery by nest is in these counts;
// - values and failing checks of tries, where and when that try began: a unit's first try to end
//   under Tries::first, so that each unit is there once, later ones under Tries::later. Values as
//   found and as left never meet in one answer;
// - days are of UTC; shifts are those of set_shift_hours(). The group of `by` = shift_of_day tells
//   the day on which the shift began.
// Lots that only measured, and drafts, are left out unless asked for.
//
// A RollupReader uses its Reader's connection: one thread at a time, and the Reader outlives it.
// Failures are the Reader's; rollups that were never filled answer broken.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "db/ledger/reader.hpp"
#include "db/record/rolled_up.hpp"
#include "db/statistics/histogram.hpp"
#include "db/statistics/moments.hpp"

namespace padtrim::ledger {

enum class Tries { first, later, all };

// What is left out does not matter.
struct RollupFilter {
    std::optional<std::string> station, product, recipe, recipe_revision, fixture, lot;
    std::optional<std::chrono::sys_days> since, until;  // UTC days; until: not itself
    std::optional<int> shift;                           // from 1
    std::optional<std::uint16_t> nest;
    bool measure_only = false;  // lots that only measured, or those that did not
    bool drafts = false;        // runs of drafts too
};

// Of values and failing checks.
struct PlaceFilter {
    record::Stage stage = record::Stage::as_found;
    Tries tries = Tries::first;
    std::optional<std::string> step, check, key;
    std::optional<int> channel, frequency;  // -1: where it does not apply; of values only
};

enum class RollupBy {
    everything,
    station,
    lot,
    product,
    recipe_revision,
    nest,
    shift,         // all first shifts together, and so on
    shift_of_day,  // each by itself
    day,
    month
};

// Names that the grouping leaves open are "", numbers 0.
struct RollupGroup {
    std::optional<std::chrono::sys_days> day;  // month: its first; shift_of_day: where it began
    int shift = 0;
    std::string lot, station, product, recipe, recipe_revision, fixture;
    std::uint16_t nest = 0;
    friend auto operator<=>(const RollupGroup&, const RollupGroup&) = default;
};

struct UnitRollup {
    RollupGroup group;
    record::UnitCounts counts;
};

// channel, frequency and measure of the place say nothing: a try counts once a check.
struct FailureRollup {
    RollupGroup group;
    CheckPlace place;
    record::FailureCounts counts;
};

struct ValueRollup {
    RollupGroup group;
    CheckPlace place;
    statistics::Moments moments;  // of values that are numbers
    record::VerdictCounts verdicts;
    std::optional<double> low, high;  // limits of the newest
    bool limits_changed = false;      // some values were judged by other limits
    statistics::Histogram histogram;  // empty unless asked for
};

enum class WithHistogram { no, yes };

class RollupReader {
  public:
    template <class T>
    using Stored = journal::Stored<T>;

    explicit RollupReader(Reader& reader) : reader_(reader) {}

    // In the order of the groups (time first), then of the places: step, check, key, channel,
    // frequency. Groups without a unit have no row.
    [[nodiscard]] Stored<std::vector<UnitRollup>> units(const RollupFilter& filter, RollupBy by);
    // Most frequent first within a group: by first_failing, then failed.
    [[nodiscard]] Stored<std::vector<FailureRollup>> failures(const RollupFilter& filter,
                                                              const PlaceFilter& places,
                                                              RollupBy by);
    [[nodiscard]] Stored<std::vector<ValueRollup>> values(const RollupFilter& filter,
                                                          const PlaceFilter& places, RollupBy by,
                                                          WithHistogram histogram);
    // Single values of first tries, a part of a lot at a time: `visit` gets the number of the place
    // in the list that is returned, and values that are valid during the call. Whole days, as in
    // all of these. Tries::first only.
    using VisitValues = std::function<void(std::size_t, std::span<const double>)>;
    [[nodiscard]] Stored<std::vector<CheckPlace>> stream(const RollupFilter& filter,
                                                         const PlaceFilter& places,
                                                         const VisitValues& visit);
    // In force now.
    [[nodiscard]] Stored<record::ShiftHours> shift_hours(const std::string& station);

  private:
    Reader& reader_;
};

}  // namespace padtrim::ledger
