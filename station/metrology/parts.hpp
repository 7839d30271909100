// The parts of one check's uncertainty, as judging adds them up and a budget prints them.
//
// Plain values; pure. Parts are independent of one another.
#pragma once

#include <limits>
#include <span>
#include <string>

#include "station/metrology/budget.hpp"
#include "station/metrology/conformity.hpp"

namespace padtrim::metrology {

struct Part {
    const char* name = "";
    const char* unit = "";  // of the input
    double value = 0.0, standard = 0.0;
    double sensitivity = 1.0;  // result per input
    double degrees = std::numeric_limits<double>::infinity();
    Evaluation evaluation = Evaluation::type_b;
    InputShape shape = InputShape::normal;
};

// JCGM 100 5.1.2 and G.4.1. An infinite part gives an infinite uncertainty.
[[nodiscard]] Measured measured_of(double value, std::span<const Part> parts);
// Parts without uncertainty are left out.
[[nodiscard]] Budget budget_of(std::string quantity, std::string unit, double value,
                               std::span<const Part> parts);

// A check's budget and where it belongs; channel and frequency as in results.
struct CheckBudget {
    std::string step, key;
    int channel = -1, frequency = -1;
    Budget budget;
};

}  // namespace padtrim::metrology
