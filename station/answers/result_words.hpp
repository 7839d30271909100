// Two results of one run beside each other, and what decides one, in words. Pure; internal to
// judging again.
#pragma once

#include <string>

#include "db/ledger/reader.hpp"
#include "db/record/unit_result.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::answers {

// Equal in everything, numbers bit for bit but for the sign of a zero and the kind of a NaN.
[[nodiscard]] bool same_result(const record::UnitResult& a, const record::UnitResult& b);
// The first thing in which they differ.
[[nodiscard]] std::string first_difference(const record::UnitResult& stored,
                                           const record::UnitResult& now);

[[nodiscard]] ledger::CheckPlace place_of(const record::CheckResult& check);
[[nodiscard]] metrology::Limits limits_of(const record::CheckResult& check);

// "gain of lock in step gain and offset is 423.2 counts/pF, allowed 380 to 420."
[[nodiscard]] std::string failing_text(const ledger::CheckPlace& place, double value,
                                       const metrology::Limits& limits, record::Verdict verdict);
// The worst verdict's first check, or the judge's own sentence.
[[nodiscard]] std::string what_decides(const record::UnitResult& now);

}  // namespace padtrim::answers
