// What a shift check says to what production cannot see: on one virtual bench with check standards,
// in virtual time, the charts learn, then something goes wrong and the next check meets it.
#pragma once

#include <string>
#include <vector>

#include "db/record/shift_check.hpp"

namespace padtrim::faults {

struct ShiftFault {
    std::string name;
    std::string trouble;    // as `padtrim bench --fault` takes it; "" for nothing
    std::string challenge;  // as --challenge takes it; "" for the usual one
    bool slider = false;    // on the lamp panel, which has a slider and a wheel
    record::CheckDecision decision = record::CheckDecision::blocked;
    std::string says;  // part of cause or way out
};

[[nodiscard]] const std::vector<ShiftFault>& shift_faults();
// The last check of the bench; those before it were to learn from, and good.
[[nodiscard]] record::ShiftCheck shift_check_under(const ShiftFault& fault);
// The second table of docs/faults.md.
[[nodiscard]] std::string shift_table();

}  // namespace padtrim::faults
