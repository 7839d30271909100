// The chart for individual values on the handbook's example, and constants of moving ranges.
#include <cmath>

#include "db/statistics/individuals.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

std::vector<Check> chart_checks() {
    const std::vector<double> flowrate{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const auto chart = *statistics::individuals_chart(flowrate);
    const char* source = "NIST/SEMATECH e-Handbook 6.3.2.2, flowrate";
    const char* rounded = "printed with d2 = 1.128; ours has 2/sqrt(pi)";
    return {
        {"individuals chart, centre", source, 50.81, chart.centre, 14, ""},
        {"individuals chart, mean moving range", source, 1.8778, chart.moving_range, 4,
         "printed to 5 digits"},
        {"individuals chart, upper limit", source, 55.8041, chart.high, 4.4, rounded},
        {"individuals chart, lower limit", source, 45.8159, chart.low, 4.4, rounded},
        {"individuals chart, upper limit, recomputed", "exact d2, NumPy", 55.8024116801, chart.high,
         11, ""},
        {"individuals chart, 3 sigma over the mean moving range (E2)",
         "ASTM E2587 and textbooks, 3/d2(2)", 2.660,
         (chart.high - chart.centre) / chart.moving_range, 3.2, "printed to 4 digits"},
    };
}

}  // namespace padtrim::checks
