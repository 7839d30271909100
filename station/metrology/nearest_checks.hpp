// Which check of each key says most about it: the one nearest to its limit, or furthest beyond.
//
// A failed check before one without a verdict, that before an inconclusive one, that before one
// that passed; among equals the smaller margin. A condition that holds (yes or no, so without
// uncertainty) says nothing of how close it was. Pure.
#pragma once

#include <string>
#include <vector>

#include "db/record/unit_result.hpp"

namespace padtrim::metrology {

// One a key, in the order in which the keys come; checks that belong to no key are left out.
[[nodiscard]] std::vector<record::CheckResult> nearest_checks(
    const std::vector<record::CheckResult>& checks);

// Of this key alone.
[[nodiscard]] std::vector<record::CheckResult> checks_at_key(
    const std::vector<record::CheckResult>& checks, const std::string& key);

}  // namespace padtrim::metrology
