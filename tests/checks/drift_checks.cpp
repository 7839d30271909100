// The change point of the annual flow of the Nile, and a weighted mean with its consistency.
#include <cmath>

#include "db/quality/drift.hpp"
#include "db/quality/shared_change.hpp"
#include "db/quality/wander.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

std::vector<Check> drift_checks() {
    const auto flow = columns_of("nile_flow.csv")[0];
    const auto found = *quality::drift_of(flow);
    const char* source =
        "Nile at Aswan (Cobb, Biometrika 65 (1978) 243), break after 1898 (from memory)";
    // Changes of 1, 2 and 4 with uncertainty 1: mean 7/3, chi-squared 14/3 of two degrees.
    const std::vector<quality::ChangeOf> changes{{"a", 1, 1}, {"b", 2, 1}, {"c", 4, 1}};
    const auto shared = *quality::shared_change(changes);
    const std::vector<double> one{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
    const std::vector<double> other_drug{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};
    const auto change = *quality::change_of("sleep", one, other_drug);
    // The same question to Welch's test of two.
    const auto as_two = *quality::shared_change(
        std::vector<quality::ChangeOf>{{"a", 0.75, std::sqrt(3.200555555555556 / 10.0), 9.0},
                                       {"b", 2.33, std::sqrt(4.009 / 10.0), 9.0}});
    const double apart = std::sqrt(9.488 / 2.0);
    const std::vector<double> five{5.0 - apart, 5.0, 5.0, 5.0, 5.0 + apart}, ones(5, 1.0);
    const std::vector<double> three{1.0, 2.0, 3.0}, one_each(3, 1.0);
    const char* sleep =
        "Student, Biometrika 6 (1908) 1, hours of sleep; Welch's test as GNU R's manual has it "
        "(from memory)";
    return {
        {"change of two means, t", sleep, 1.8608, change.value / change.standard, 4.5,
         "printed to 5 digits"},
        {"change of two means, degrees", sleep, 17.776, change.degrees, 4.5, "printed to 5 digits"},
        {"Welch's test of two, significance", sleep, 0.07939, as_two.consistency, 4,
         "printed to 4 digits"},
        {"change point, first year of the new level", source, 1899.0,
         1871.0 + static_cast<double>(found.step.at), 15, ""},
        {"change point, level before", source, 1097.75, found.step.before, 6, ""},
        {"change point, level after", source, 849.9722, found.step.after, 6.5,
         "printed to 7 digits"},
        {"change point, kind (1 is a step)", source, 1.0, static_cast<double>(found.kind), 15, ""},
        {"shared change of three", "closed form", 7.0 / 3.0, shared.value, 14, ""},
        {"its consistency", "closed form, exp(-chi-squared / 2)", 0.09697196786440505,
         shared.consistency, 12, ""},
        {"means that wander, significance of 9.488 in 5 means",
         "NIST/SEMATECH e-Handbook 1.3.6.7.4 (from memory)", 0.05,
         quality::wander_of(five, ones)->significance, 3.5, "printed to 4 digits"},
        {"means that wander, 1 2 3 with uncertainty 1", "closed form, exp(-1)", 0.36787944117144233,
         quality::wander_of(three, one_each)->significance, 12, ""},
    };
}

}  // namespace padtrim::checks
