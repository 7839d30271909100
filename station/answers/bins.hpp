// A histogram's bins for drawing. Pure.
#pragma once

#include <span>
#include <vector>

#include "db/statistics/histogram.hpp"

namespace padtrim::answers {

struct DrawnBin {
    double centre = 0.0;
    double count = 0.0;
};
// Freedman and Diaconis' width (2 IQR / n^(1/3), Z. Wahrscheinlichkeitstheorie 57 (1981) 453) made
// round, 5 to 40 bins; of equal width, empty ones too. Nothing for no values; one for equal ones.
[[nodiscard]] std::vector<DrawnBin> bins_of(std::span<const double> values);
// The same number of bins of equal width from a kept histogram, whose own widths differ: a bin's
// values are taken as even within it.
[[nodiscard]] std::vector<DrawnBin> bins_of(const statistics::Histogram& histogram);

}  // namespace padtrim::answers
