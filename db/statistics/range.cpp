#include "db/statistics/range.hpp"

#include <algorithm>
#include <array>

namespace padtrim::statistics {

namespace {

struct Entry {
    double count, mean, deviation;
};

constexpr std::array<Entry, 38> table{{
    {2, 1.128379, 0.852502},      {3, 1.692569, 0.888368},       {4, 2.058751, 0.879808},
    {5, 2.325929, 0.864082},      {6, 2.534413, 0.848040},       {7, 2.704357, 0.833205},
    {8, 2.847201, 0.819831},      {9, 2.970026, 0.807834},       {10, 3.077505, 0.797051},
    {11, 3.172873, 0.787315},     {12, 3.258455, 0.778478},      {13, 3.335980, 0.770416},
    {14, 3.406763, 0.763023},     {15, 3.471827, 0.756211},      {16, 3.531983, 0.749908},
    {17, 3.587884, 0.744052},     {18, 3.640064, 0.738591},      {19, 3.688963, 0.733481},
    {20, 3.734950, 0.728686},     {21, 3.778336, 0.724173},      {22, 3.819385, 0.719915},
    {23, 3.858323, 0.715887},     {24, 3.895348, 0.712068},      {25, 3.930629, 0.708441},
    {32, 4.139338, 0.687248},     {50, 4.498147, 0.652143},      {64, 4.687467, 0.634420},
    {100, 5.015187, 0.605179},    {200, 5.492085, 0.565992},     {500, 6.073399, 0.523482},
    {1000, 6.482872, 0.496735},   {2000, 6.870674, 0.473594},    {5000, 7.355118, 0.447354},
    {10000, 7.703232, 0.430128},  {20000, 8.037579, 0.414728},   {50000, 8.460928, 0.396676},
    {100000, 8.768639, 0.384470}, {1000000, 9.725795, 0.350732},
}};

}  // namespace

Checked<RangeOfNormal> range_of_normal(std::size_t count) {
    if (count < 2) return Flaw::too_few_points;
    const double n = static_cast<double>(count);
    const auto above = std::find_if(table.begin(), table.end(),
                                    [n](const Entry& entry) { return entry.count >= n; });
    if (above == table.end()) return Flaw::out_of_domain;
    if (above->count == n) return RangeOfNormal{above->mean, above->deviation};
    const Entry& below = *(above - 1);
    const double part = std::log(n / below.count) / std::log(above->count / below.count);
    return RangeOfNormal{below.mean + part * (above->mean - below.mean),
                         below.deviation + part * (above->deviation - below.deviation)};
}

}  // namespace padtrim::statistics
