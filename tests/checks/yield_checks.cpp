// Intervals of shares, comparisons of shares, and the arithmetic of yields.
#include "db/quality/compare_shares.hpp"
#include "db/quality/rolled_yield.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

void add_intervals(std::vector<Check>& checks) {
    const auto rows = columns_of("binomial_intervals.csv");
    const char* source = "recomputed: other beta quantiles, closed form";
    for (std::size_t i = 0; i < rows[0].size(); ++i) {
        const auto part = static_cast<std::uint64_t>(rows[0][i]);
        const auto whole = static_cast<std::uint64_t>(rows[1][i]);
        const auto exact = *statistics::clopper_pearson_interval(part, whole, 0.95);
        const auto wilson = *statistics::wilson_interval(part, whole, 0.95);
        const std::string of = std::to_string(part) + "/" + std::to_string(whole);
        checks.push_back({of + " exact interval, low", source, rows[2][i], exact.low, 8, ""});
        checks.push_back({of + " exact interval, high", source, rows[3][i], exact.high, 10, ""});
        checks.push_back({of + " Wilson interval, low", source, rows[4][i], wilson.low, 8, ""});
        checks.push_back({of + " Wilson interval, high", source, rows[5][i], wilson.high, 10, ""});
    }
}

}  // namespace

std::vector<Check> yield_checks() {
    std::vector<Check> checks;
    add_intervals(checks);
    using quality::Counted;
    const auto tea = *statistics::fisher_exact({3, 4}, {1, 4});
    checks.push_back({"tea tasting, exact, two-sided", "Fisher (1935), closed form 34/70",
                      34.0 / 70.0, tea, 10, "0.4857 in textbooks"});
    const std::vector<Counted> smokers{{83, 86}, {90, 93}, {129, 136}, {70, 82}};
    const auto alike = *quality::homogeneity(smokers);
    const char* fleiss =
        "Fleiss, Statistical Methods for Rates and Proportions (1981), p. 139, as "
        "GNU R's manual has it (from memory)";
    checks.push_back({"smokers among patients, chi-squared", fleiss, 12.6004, alike.chi_squared,
                      5.5, "printed to 6 digits"});
    checks.push_back({"smokers among patients, significance", fleiss, 0.005585, alike.significance,
                      4, "printed to 4 digits"});
    const auto newcombe = *quality::compare_shares({56, 70}, {48, 80});
    const char* paper =
        "Newcombe, Statistics in Medicine 17 (1998) 873, Table II, method 10 (from "
        "memory)";
    checks.push_back({"56/70 less 48/80, low", paper, 0.0524, newcombe.difference.low, 2.9,
                      "printed to 4 decimals"});
    checks.push_back({"56/70 less 48/80, high", paper, 0.3339, newcombe.difference.high, 3.8,
                      "printed to 4 decimals"});
    const std::vector<Counted> steps{{98, 100}, {95, 100}, {99, 100}, {97, 100}};
    const auto rolled = *quality::rolled_yield(steps);
    const char* exact = "definitions from memory, exact arithmetic";
    checks.push_back(
        {"rolled throughput of 0.98, 0.95, 0.99, 0.97", exact, 0.8940393, rolled.value, 14, ""});
    checks.push_back({"its normalised yield", exact, 0.972387018818, rolled.normalised, 11.5, ""});
    checks.push_back(
        {"its defects per unit", exact, 0.112005545043, rolled.defects_per_unit, 11.5, ""});
    return checks;
}

}  // namespace padtrim::checks
