// What a number in a question may be: the command line and HTTP refuse the same.
#pragma once

#include <cstddef>

namespace padtrim::answers {

struct NumberRange {
    double low = 0.0, high = 0.0;
};
inline constexpr NumberRange newest_weight{0.001, 1.0};       // weighted charts: lambda
inline constexpr NumberRange limit_width{0.1, 10.0};          // weighted charts, in sigmas
inline constexpr NumberRange half_shift{0.01, 5.0};           // sums: slack, in sigmas
inline constexpr NumberRange signalling_sum{0.1, 50.0};       // sums: decision, in sigmas
inline constexpr NumberRange drift_risk{1e-6, 0.5};           // of calling chance a drift
inline constexpr NumberRange calibration_doubt{0.0, 1e12};    // in the check's unit
inline constexpr NumberRange acceptance_constant{0.0, 20.0};  // by variables: k
inline constexpr NumberRange risk_percent{1e-6, 99.0};

struct CountRange {
    std::size_t low = 0, high = 0;
};
inline constexpr CountRange subgroup_size{2, 25};
inline constexpr CountRange drawn_charts{0, 1000};
inline constexpr CountRange blocked_times{1, 10'000};

}  // namespace padtrim::answers
