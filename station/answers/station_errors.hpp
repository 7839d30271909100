// What a shift check says of the station's error at each place, once it is told apart from what
// check standards did by themselves (db/quality/who_changed.hpp). Pure.
//
// A standard's departure is its value less its chart's centre; its uncertainty follows from the
// chart's sigma and baseline (of two stated limits a sixth of their distance counts as sigma). What
// standards share in a nest, or in all of them, is the station's error there. What one standard has
// in every nest is its own and no unit's. Where it is not distinguishable, the largest departure of
// the nest counts: the most that the station may be wrong by.
#pragma once

#include <string>
#include <vector>

#include "db/record/shift_check.hpp"

namespace padtrim::answers {

enum class ErrorOf { nothing, station, standard, station_and_standard, not_distinguishable };
[[nodiscard]] std::string_view name_of(ErrorOf whose);

struct PossibleError {
    std::uint16_t nest = 1;
    std::string check, key, measure;
    int channel = -1, frequency = -1;
    double value = 0.0;  // of the station; 0 where it did not change
    double standard_uncertainty = 0.0;
    ErrorOf whose = ErrorOf::nothing;
    std::vector<std::string> apart;                 // standards that changed by themselves
    [[nodiscard]] std::string apart_words() const;  // "S-1, S-2"
    std::size_t standards = 0;                      // that were measured there
    bool beyond = false;                            // one of them was beyond its limits
};

// Largest beyond first.
[[nodiscard]] std::vector<PossibleError> possible_errors(const record::ShiftCheck& check);

// Whether units of this nest are in doubt by what blocked the station: not, where all that is wrong
// with it is that standards changed by themselves, or that another nest did. In doubt always by a
// challenge unit that was not rejected, and in a nest that no standard watches.
[[nodiscard]] bool nest_in_doubt(const record::ShiftCheck& check,
                                 const std::vector<PossibleError>& errors, std::uint16_t nest);

}  // namespace padtrim::answers
