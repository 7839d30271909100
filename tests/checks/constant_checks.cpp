// Control-chart constants, and the limits of the handbook's examples.
#include <fstream>
#include <sstream>

#include "db/quality/control_charts.hpp"
#include "db/quality/memory_charts.hpp"
#include "db/statistics/chart_constants.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using statistics::ChartConstants;

struct Named {
    const char* name;
    double ChartConstants::*which;
};
constexpr Named named[] = {
    {"d2", &ChartConstants::d2}, {"d3", &ChartConstants::d3}, {"c4", &ChartConstants::c4},
    {"A2", &ChartConstants::A2}, {"A3", &ChartConstants::A3}, {"D3", &ChartConstants::D3},
    {"D4", &ChartConstants::D4}, {"B3", &ChartConstants::B3}, {"B4", &ChartConstants::B4}};

void add_constants(std::vector<Check>& checks) {
    for (const int n : {2, 3, 5, 7, 10, 11, 14, 18, 20, 23, 25}) {
        const auto constants = *statistics::chart_constants(static_cast<std::size_t>(n));
        for (const Named& each : named) {
            // D3 is a small difference of large numbers: it has fewer digits than d3.
            const double aim = std::string(each.name) == "D3" ? 4.5 : 5.5;
            checks.push_back({std::string(each.name) + " of " + std::to_string(n),
                              "recomputed: quadrature, log gamma (ASTM E2587)",
                              certified("chart_constants.csv", {std::to_string(n), each.name}),
                              constants.*each.which, aim, "range constants kept to 6 decimals"});
        }
    }
    const auto five = *statistics::chart_constants(5);
    const char* printed = "textbooks and ISO 7870-2, as printed";
    checks.push_back({"A2 of 5, printed", printed, 0.577, five.A2, 3.4, "printed to 3 decimals"});
    checks.push_back({"D4 of 5, printed", printed, 2.114, five.D4, 3.6, "printed to 3 decimals"});
    checks.push_back({"A3 of 5, printed", printed, 1.427, five.A3, 3.6, "printed to 3 decimals"});
    checks.push_back({"B4 of 5, printed", printed, 2.089, five.B4, 5.0, "printed to 3 decimals"});
    const char* manual = "AIAG Measurement Systems Analysis, 4th ed., 1/d2*";
    checks.push_back({"K2 of 3 appraisers", manual, 0.5231, 1.0 / *statistics::d2_of_ranges(3, 1),
                      4, "printed"});
    checks.push_back(
        {"K3 of 10 parts", manual, 0.3146, 1.0 / *statistics::d2_of_ranges(10, 1), 3.8, "printed"});
}

void add_attribute_charts(std::vector<Check>& checks) {
    const std::vector<double> defects{16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14,
                                      16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13};
    std::vector<quality::Occurrences> wafers;
    for (const double count : defects) wafers.push_back({count, 1.0});
    const auto counts = quality::occurrence_chart(wafers)->front();
    const char* handbook = "NIST/SEMATECH e-Handbook 6.3.3.1";
    checks.push_back({"counts chart, centre", handbook, 16.0, counts.centre, 14, ""});
    checks.push_back({"counts chart, upper limit", handbook, 28.0, counts.high, 14, ""});
    checks.push_back({"counts chart, lower limit", handbook, 4.0, counts.low, 14, ""});
    const std::vector<int> percent{24, 30, 16, 20, 8,  14, 32, 18, 28, 20, 10, 12, 34, 24, 44,
                                   16, 20, 10, 26, 22, 40, 36, 48, 30, 18, 24, 14, 26, 18, 12};
    std::vector<statistics::Counted> samples;
    for (const int each : percent) samples.push_back({static_cast<std::uint64_t>(each / 2), 50});
    const auto shares = quality::share_chart(samples)->front();
    handbook = "NIST/SEMATECH e-Handbook 6.3.3.2";
    checks.push_back({"proportions chart, centre", handbook, 0.2313, shares.centre, 3.8,
                      "printed to 4 decimals"});
    checks.push_back({"proportions chart, upper limit", handbook, 0.4102, shares.high, 4,
                      "printed to 4 decimals"});
    checks.push_back({"proportions chart, lower limit", handbook, 0.0524, shares.low, 3,
                      "printed to 4 decimals"});
}

void add_memory_charts(std::vector<Check>& checks) {
    const auto groups = columns_of("cusum_nist.csv");
    auto cusum = *quality::CusumChart::of({325.0, 1.0}, {0.3175, 4.1959, 0.0});
    int first = 0;
    for (std::size_t i = 0; i < groups[0].size(); ++i) {
        const auto point = *cusum.add(groups[1][i]);
        if (point.alarm() && first == 0) first = static_cast<int>(i) + 1;
        if (i != 7 && i != 13 && i != 19) continue;
        const std::string group = ", group " + std::to_string(i + 1);
        const char* exact = "NIST/SEMATECH e-Handbook 6.3.2.3, in exact fractions";
        checks.push_back({"CUSUM, upper sum" + group, exact, groups[2][i], point.upper, 12, ""});
        checks.push_back({"CUSUM, lower sum" + group, exact, groups[3][i], point.lower, 12, ""});
    }
    checks.push_back({"CUSUM, first signal", "NIST/SEMATECH e-Handbook 6.3.2.3", 14.0,
                      static_cast<double>(first), 15, ""});
    const auto values = columns_of("ewma_nist.csv");
    auto ewma = *quality::EwmaChart::of({50.0, 2.0539}, {0.3, 3.0});
    for (std::size_t i = 0; i < values[0].size(); ++i) {
        const auto point = *ewma.add(values[1][i]);
        if (i % 6 != 1) continue;
        const std::string at = ", point " + std::to_string(i + 1);
        const char* source = "NIST/SEMATECH e-Handbook 6.3.2.4, recomputed";
        checks.push_back({"EWMA" + at, source, values[2][i], point.value, 11, ""});
        checks.push_back({"EWMA, upper limit" + at, source, values[3][i], point.high, 8.5, ""});
    }
}

}  // namespace

std::vector<Check> constant_checks() {
    std::vector<Check> checks;
    add_constants(checks);
    add_attribute_charts(checks);
    add_memory_charts(checks);
    return checks;
}

}  // namespace padtrim::checks
