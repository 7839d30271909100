// Checks of our numbers against published ones: each with its source, and how many digits agree.
//
// One list for the test and for docs/checks.md (`checks_table` prints it).
#pragma once

#include <string>
#include <vector>

namespace padtrim::checks {

struct Check {
    std::string what;
    std::string source;
    double published = 0.0;
    double ours = 0.0;
    double aim = 0.0;  // digits that must agree
    std::string note;
};

// -log10 of the relative difference, 15 at most; of the difference where the published value is 0.
[[nodiscard]] double digits_agreeing(double published, double ours);

[[nodiscard]] std::vector<Check> univariate_checks();
[[nodiscard]] std::vector<Check> regression_checks();
[[nodiscard]] std::vector<Check> anova_checks();
[[nodiscard]] std::vector<Check> gum_checks();
[[nodiscard]] std::vector<Check> student_checks();
[[nodiscard]] std::vector<Check> conformity_checks();
[[nodiscard]] std::vector<Check> sequential_checks();
[[nodiscard]] std::vector<Check> electrical_checks();
[[nodiscard]] std::vector<Check> tolerance_checks();
[[nodiscard]] std::vector<Check> series_checks();
[[nodiscard]] std::vector<Check> chart_checks();
[[nodiscard]] std::vector<Check> yield_checks();
[[nodiscard]] std::vector<Check> capability_checks();
[[nodiscard]] std::vector<Check> constant_checks();
[[nodiscard]] std::vector<Check> run_length_checks();
[[nodiscard]] std::vector<Check> run_rule_checks();
[[nodiscard]] std::vector<Check> gauge_checks();
[[nodiscard]] std::vector<Check> drift_checks();
[[nodiscard]] std::vector<Check> sampling_checks();
[[nodiscard]] std::vector<Check> all_checks();

// docs/checks.md as it should be.
[[nodiscard]] std::string checks_page();

// A CSV below tests/data: its columns, in order; lines that begin with # and the header left out.
[[nodiscard]] std::vector<std::vector<double>> columns_of(const std::string& file);

// A certified value of tests/data/<file>, looked up by its other columns in order.
[[nodiscard]] double certified(const std::string& file, const std::vector<std::string>& keys);

}  // namespace padtrim::checks
