// Capability indices and their intervals; what a normal process leaves beyond its limits.
#include "db/quality/capability_indices.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using quality::Indices;
using quality::SpecLimits;

Indices of(double mean, double deviation, double count, const SpecLimits& limits) {
    return *quality::normal_indices({mean, deviation, count, count - 1.0}, limits);
}

void add_handbook(std::vector<Check>& checks) {
    const char* source = "NIST/SEMATECH e-Handbook 6.1.6";
    const char* recomputed = "exact chi-squared and Bissell's formula, other quantiles";
    const SpecLimits limits{8.0, 20.0};
    const Indices thirty = of(16.0, 2.0, 30.0, limits);
    checks.push_back({"capability example, Cp", source, 1.0, thirty.spread->value, 14, ""});
    checks.push_back({"capability example, Cpk", source, 0.6667, thirty.nearest.value, 4,
                      "printed to 4 decimals"});
    checks.push_back({"Cp of 30 values, 95 % interval, low", recomputed, 0.7438731746,
                      *thirty.spread->low, 9, ""});
    checks.push_back({"Cp of 30 values, 95 % interval, high", recomputed, 1.2556394964,
                      *thirty.spread->high, 9, ""});
    checks.push_back({"Cpk of 30 values, 95 % interval, low", recomputed, 0.4577071220,
                      *thirty.nearest.low, 9, ""});
    checks.push_back({"Cpk of 30 values, 95 % interval, high", recomputed, 0.8756262114,
                      *thirty.nearest.high, 9, ""});
    const Indices hundred = of(16.0, 2.0, 100.0, limits);
    checks.push_back({"Cp of 100 values, 95 % interval, low", recomputed, 0.8608257733,
                      *hundred.spread->low, 9, ""});
    checks.push_back({"Cpk of 100 values, 95 % interval, high", recomputed, 0.7802056061,
                      *hundred.nearest.high, 9, ""});
}

void add_textbook(std::vector<Check>& checks) {
    const char* source =
        "Montgomery, Introduction to Statistical Quality Control, chapter 8 (from memory)";
    const Indices twenty = of(50.0, 1.75, 20.0, {38.0, 62.0});
    checks.push_back(
        {"Cp of 20 values", source, 2.29, twenty.spread->value, 2.5, "printed to 2 decimals"});
    checks.push_back({"Cp of 20 values, 95 % interval, low", source, 1.57, *twenty.spread->low, 2.4,
                      "printed to 2 decimals from Cp = 2.29"});
    checks.push_back({"Cp of 20 values, 95 % interval, high", source, 3.01, *twenty.spread->high,
                      2.7, "printed to 2 decimals from Cp = 2.29"});
}

void add_outside(std::vector<Check>& checks) {
    const char* source = "another library's risk of a process; Phi in closed form";
    const SpecLimits limits{9.0, 11.0};
    checks.push_back({"share outside, centred, Cpk 0.833", source, 0.0124193307,
                      of(10.0, 0.4, 50.0, limits).outside, 8, ""});
    checks.push_back({"share outside, Cpk 0.417", source, 0.1057381910,
                      of(10.5, 0.4, 50.0, limits).outside, 8, ""});
    checks.push_back({"share outside, Cpk -0.833", source, 0.9937903347,
                      of(12.0, 0.4, 50.0, limits).outside, 8, ""});
    checks.push_back({"parts per million outside, Cp 1", "2 Phi(-3), textbooks print 2700",
                      2699.796063, of(10.0, 1.0 / 3.0, 50.0, limits).outside * 1e6, 8, ""});
    checks.push_back({"parts per million outside, Cp 2", "2 Phi(-6)", 0.00197317529,
                      of(10.0, 1.0 / 6.0, 50.0, limits).outside * 1e6, 8, ""});
}

}  // namespace

std::vector<Check> capability_checks() {
    std::vector<Check> checks;
    add_handbook(checks);
    add_textbook(checks);
    add_outside(checks);
    return checks;
}

}  // namespace padtrim::checks
