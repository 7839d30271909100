// Operating characteristics of sampling plans, by attributes and by variables.
#include "db/quality/sampling.hpp"
#include "db/statistics/tolerance.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

void add_attributes(std::vector<Check>& checks) {
    const char* handbook = "NIST/SEMATECH e-Handbook 6.2.3.2, plan (52, 3) (from memory)";
    constexpr double curve[][2] = {{0.01, 0.998}, {0.02, 0.980}, {0.03, 0.930}, {0.04, 0.845},
                                   {0.05, 0.739}, {0.06, 0.620}, {0.07, 0.502}, {0.08, 0.394},
                                   {0.09, 0.300}, {0.10, 0.223}, {0.11, 0.162}, {0.12, 0.115}};
    for (const auto& [share, accepted] : curve)
        checks.push_back(
            {"acceptance of 52 with 3 allowed, share " + std::to_string(share).substr(0, 4),
             handbook, accepted, *statistics::acceptance(statistics::AttributesPlan{52, 3}, share),
             2.3, "printed to 3 decimals"});
    const char* standard =
        "ISO 2859-1, Table 10-J, quality limit 1.0: 80 with 2 allowed (from memory)";
    checks.push_back({"share accepted with 95 %, in per cent", standard, 1.03,
                      100.0 * *statistics::share_accepted({80, 2}, 0.95), 2.3,
                      "printed to 3 digits"});
    checks.push_back({"share accepted with 50 %, in per cent", standard, 3.33,
                      100.0 * *statistics::share_accepted({80, 2}, 0.50), 2.5,
                      "printed to 3 digits"});
    checks.push_back({"share accepted with 10 %, in per cent", standard, 6.52,
                      100.0 * *statistics::share_accepted({80, 2}, 0.10), 2.8,
                      "printed to 3 digits"});
    checks.push_back({"acceptance of a lot of 5 with 2 bad, 2 drawn", "closed form 3/10", 0.3,
                      *statistics::acceptance_of_lot({2, 0}, 2, 5), 12, ""});
}

void add_variables(std::vector<Check>& checks) {
    const std::vector<double> temperatures{197, 188, 184, 205, 201};
    const auto judged = *quality::judge_by_variables(temperatures, {std::nullopt, 209.0, 1.53});
    const char* example =
        "example of the s method in older tables: k = 1.53, accepted (from memory)";
    checks.push_back({"s method, mean", example, 195.0, judged.mean, 14, ""});
    checks.push_back({"s method, deviation", example, 8.81, judged.deviation, 3,
                      "exact is sqrt(77.5) = 8.8034"});
    checks.push_back(
        {"s method, (U - mean) / s", example, 1.59, *judged.q_high, 3, "printed to 3 digits"});
    checks.push_back(
        {"s method, accepted (1 is yes)", example, 1.0, judged.accepted ? 1.0 : 0.0, 15, ""});
    // A one-sided tolerance factor is a k that accepts the content's complement with 1 -
    // confidence.
    const double k = *statistics::tolerance_factor(10, {0.99, 0.95}, statistics::Sides::one);
    checks.push_back({"s method, acceptance at a tolerance factor of 10 values",
                      "ISO 16269-6: one minus the confidence", 0.05,
                      *statistics::acceptance(statistics::VariablesPlan{10, k}, 0.01), 9, ""});
}

}  // namespace

std::vector<Check> sampling_checks() {
    std::vector<Check> checks;
    add_attributes(checks);
    add_variables(checks);
    return checks;
}

}  // namespace padtrim::checks
