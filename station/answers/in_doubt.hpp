// Units whose results rest on a station that was found wrong: those since the last good shift check
// before one that blocked it, to the last one that did before the next good one: an episode. Each
// episode of a fixture is an answer of its own, the newest unless another is asked for.
//
// The possible error of a place (nest, check, key, channel, frequency) is what the check standards
// share of their departures at the blocking check (station_errors.hpp); what one of them shows
// alone is its own, and no unit is in doubt by it, nor by what happened in another nest. Of several
// blocking checks of an episode each place has the largest error. A unit's
// value less that error is decided again by its own recipe's rule; where the verdict of a check
// changes, the unit may be wrongly released or wrongly refused.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/answers/chart.hpp"
#include "station/answers/station_errors.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct DoubtfulUnit {
    ledger::RunSummary run;
    bool would_change = false;
    std::string what;  // one sentence: the check that would change most, or the nearest
};
struct DoubtEpisode {
    std::string fixture;
    std::optional<record::WallTime> last_good;    // before it; none: never
    std::vector<record::ShiftCheck> blocking;     // oldest first
    std::optional<record::WallTime> ready_again;  // none: blocked still
};
struct InDoubt {
    std::string station, fixture;        // fixture "": all
    std::string problem;                 // a station or fixture that is none, an episode; "": none
    std::size_t checks = 0;              // shift checks that were looked at
    std::vector<DoubtEpisode> episodes;  // newest first
    std::size_t episode = 0;             // of which the rest is, from 1; 0: there is none
    // The newest of the episode; none: no check has found the station wrong.
    std::optional<record::ShiftCheck> blocking;
    std::optional<record::WallTime> last_good;  // before it; none: never
    bool still_blocked = false;
    std::vector<PossibleError> errors;  // largest beyond first
    std::vector<DoubtfulUnit> units;    // those that would change first
    std::size_t not_in_doubt = 0;       // runs of that time that nothing speaks against
    [[nodiscard]] std::size_t would_change() const;
};

// episode: 1 for the newest.
[[nodiscard]] journal::Stored<InDoubt> units_in_doubt(ledger::Reader& reader,
                                                      const std::string& station,
                                                      const std::string& fixture,
                                                      std::size_t episode = 1);

[[nodiscard]] Json to_json(const InDoubt& answer);
[[nodiscard]] Sheet sheet_of(const InDoubt& answer);

}  // namespace padtrim::answers
