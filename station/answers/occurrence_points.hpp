// Failed checks a unit as points of a u chart (ISO 7870-2): a lot a point, or a day for many units.
//
// A unit's first try counts, with each check on each key once, whichever channel or frequency
// failed. By day the counts come from the rollups. Internal to control_answer.cpp.
#pragma once

#include "station/answers/control_answer.hpp"

namespace padtrim::answers {

struct LabelledOccurrences {
    std::string label;
    record::WallTime at;
    quality::Occurrences failed;
};
// Pure. Limits go with the size of each; the run length is that of a lot of middle size.
[[nodiscard]] PlaceControl chart_of_occurrences(const std::vector<LabelledOccurrences>& samples);

// In the order they began. None where no unit answers to the wish.
[[nodiscard]] journal::Stored<std::vector<LabelledOccurrences>> occurrences_of(
    ledger::Reader& reader, const ValueWish& wish, bool by_day);

}  // namespace padtrim::answers
