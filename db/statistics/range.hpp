// The range (peak-to-peak) of n independent normal readings: its expectation and deviation, in
// units of the standard deviation (d2 and d3 of control charts).
//
// Pure and thread safe. Tabulated by quadrature of the range's density (Tippett, Biometrika 17
// (1925) 364; Harter, Order Statistics and their Use, 1970), straight in log n between entries:
// to 6 decimals up to 25 readings, within 0.2 % up to a million; out_of_domain beyond.
#pragma once

#include <cstddef>

#include "db/statistics/flaw.hpp"

namespace padtrim::statistics {

struct RangeOfNormal {
    double mean = 0.0;
    double deviation = 0.0;
};
[[nodiscard]] Checked<RangeOfNormal> range_of_normal(std::size_t count);

}  // namespace padtrim::statistics
