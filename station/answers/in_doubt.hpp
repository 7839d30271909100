// Units whose results rest on a station that was found wrong: those since the last good shift check
// before one that blocked it.
//
// The possible error of a place (nest, check, key, channel, frequency) is how far the check
// standards stood from their charts' centres at the blocking check, in the mean of the standards. A
// unit's value less that error is decided again by its own recipe's rule; where the verdict of a
// check changes, the unit may be wrongly released or wrongly refused.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/answers/chart.hpp"
#include "station/answers/value_series.hpp"

namespace padtrim::answers {

struct PossibleError {
    std::uint16_t nest = 1;
    std::string check, key, measure;
    int channel = -1, frequency = -1;
    double value = 0.0;
    std::size_t standards = 0;  // that it is the mean of
    bool beyond = false;        // one of them was beyond its limits
};
struct DoubtfulUnit {
    ledger::RunSummary run;
    bool would_change = false;
    std::string what;  // one sentence: the check that would change most, or the nearest
};
struct InDoubt {
    std::string station, fixture;                // fixture "": all
    std::optional<record::ShiftCheck> blocking;  // none: no check has found the station wrong
    std::optional<record::WallTime> last_good;   // before it; none: never
    bool still_blocked = false;
    std::vector<PossibleError> errors;  // largest beyond first
    std::vector<DoubtfulUnit> units;    // those that would change first
    [[nodiscard]] std::size_t would_change() const;
};

[[nodiscard]] journal::Stored<InDoubt> units_in_doubt(ledger::Reader& reader,
                                                      const std::string& station,
                                                      const std::string& fixture);
// How far the standards of a check stood from their centres. Pure.
[[nodiscard]] std::vector<PossibleError> possible_errors(const record::ShiftCheck& check);

[[nodiscard]] Json to_json(const InDoubt& answer);
[[nodiscard]] Sheet sheet_of(const InDoubt& answer);

}  // namespace padtrim::answers
