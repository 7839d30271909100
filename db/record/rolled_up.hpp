// What a ledger counts of many units when their runs end: plain values that merge.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "db/record/run.hpp"
#include "db/record/yield_count.hpp"

namespace padtrim::record {

// Units by what came of their tries (yield) and by the verdict of their newest ended run (count).
struct UnitCounts {
    YieldCount yield;
    LotCount count;
    std::uint64_t runs = 0;  // ended, those without a verdict too
    friend bool operator==(const UnitCounts&, const UnitCounts&) = default;
};

// Values or checks by their own verdict.
struct VerdictCounts {
    std::uint64_t pass = 0, fail = 0, inconclusive = 0, no_verdict = 0;
    friend bool operator==(const VerdictCounts&, const VerdictCounts&) = default;
};
inline VerdictCounts operator+(const VerdictCounts& a, const VerdictCounts& b) {
    return {a.pass + b.pass, a.fail + b.fail, a.inconclusive + b.inconclusive,
            a.no_verdict + b.no_verdict};
}

// Tries with a check that did not pass, whichever channel or frequency it was on.
struct FailureCounts {
    std::uint64_t failed = 0;         // the check failed
    std::uint64_t inconclusive = 0;   // it did not fail, and was inconclusive
    std::uint64_t first_failing = 0;  // it was the first check of its run that failed
    std::uint64_t recovered = 0;      // of those, units whose last try passed; of first tries only
    std::uint64_t retried = 0;        // of those, units that were tried again; of first tries only
    friend bool operator==(const FailureCounts&, const FailureCounts&) = default;
};
inline FailureCounts operator+(const FailureCounts& a, const FailureCounts& b) {
    return {a.failed + b.failed, a.inconclusive + b.inconclusive, a.first_failing + b.first_failing,
            a.recovered + b.recovered, a.retried + b.retried};
}

// When shifts begin, in minutes after midnight UTC, ascending; the last one goes on to the first.
// A person at the plant tells them, in UTC: where clocks change twice a year, so do these.
struct ShiftHours {
    std::vector<int> begins = {6 * 60, 14 * 60, 22 * 60};  // common practice, no source
    friend bool operator==(const ShiftHours&, const ShiftHours&) = default;
};
struct ShiftHoursChange {
    std::string station, who, why;
    WallTime at;
    ShiftHours hours;
};

// The shift of a moment, from 1, and the UTC days of the moment and of the shift's beginning, in
// days since 1970-01-01.
struct ShiftMoment {
    int day = 0, shift = 1, shift_day = 0;
    friend bool operator==(const ShiftMoment&, const ShiftMoment&) = default;
};
[[nodiscard]] ShiftMoment shift_at(const ShiftHours& hours, WallTime at);

}  // namespace padtrim::record
