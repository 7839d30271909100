// Units counted for yields. A try is a run that gave a verdict; a run without one is a fault of
// station, fixture or link and never counts against the unit. Plain values.
#pragma once

#include <cstdint>

namespace padtrim::record {

struct YieldCount {
    std::uint32_t units = 0;            // with one try or more
    std::uint32_t first_pass = 0;       // passed at the first try
    std::uint32_t final_pass = 0;       // passed at the last try
    std::uint32_t retested = 0;         // tried more than once
    std::uint32_t rejected_first = 0;   // failed at the first try
    std::uint32_t recovered = 0;        // failed at the first try, passed at the last
    std::uint32_t without_verdict = 0;  // run, never tried; not among `units`
    std::uint32_t retried = 0;          // failed at the first try, and tried again
    friend bool operator==(const YieldCount&, const YieldCount&) = default;
};

inline YieldCount operator+(const YieldCount& a, const YieldCount& b) {
    return {a.units + b.units,
            a.first_pass + b.first_pass,
            a.final_pass + b.final_pass,
            a.retested + b.retested,
            a.rejected_first + b.rejected_first,
            a.recovered + b.recovered,
            a.without_verdict + b.without_verdict,
            a.retried + b.retried};
}

}  // namespace padtrim::record
