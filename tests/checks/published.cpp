#include "tests/checks/published.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace padtrim::checks {

double digits_agreeing(double published, double ours) {
    if (std::isnan(ours)) return 0.0;
    const double difference = std::abs(published - ours);
    if (difference == 0.0) return 15.0;
    const double relative = published == 0.0 ? difference : difference / std::abs(published);
    return std::clamp(-std::log10(relative), 0.0, 15.0);
}

std::vector<Check> all_checks() {
    std::vector<Check> all;
    for (const auto list :
         {univariate_checks, regression_checks, anova_checks, gum_checks, student_checks,
          conformity_checks, sequential_checks, electrical_checks, tolerance_checks, series_checks,
          chart_checks, yield_checks, capability_checks, constant_checks, run_length_checks,
          run_rule_checks, gauge_checks, drift_checks, sampling_checks}) {
        const auto some = list();
        all.insert(all.end(), some.begin(), some.end());
    }
    return all;
}

std::string checks_page() {
    std::string page =
        "# Checks against the outside\n\n"
        "Every row is computed by padtrim's own code and compared with a published value, or, "
        "where "
        "its note says so, with one recomputed by other means, a closed form or a quadrature. "
        "Lines, "
        "scatter, distributions, budgets and decisions are what it judges with; the analysis of "
        "variance, York's line, weighted and polynomial fits, global risks, Wald's test, the "
        "group-sequential boundaries, codes of dielectrics, the correction by a load, and the "
        "figures of quality (comparisons, capability, control charts, gauge studies, drift, "
        "sampling plans) are of the library only, "
        "no verdict rests on them. `ours` is printed to 10 digits, `digits` counted on the whole "
        "number. `digits` is -log10 of the relative difference, rounded down, 15 at most; a test "
        "fails when it falls below `aim`. Printed by `checks_table`; a test fails when this page "
        "is stale.\n\n"
        "| quantity | source | published | ours | digits | aim | note |\n"
        "| --- | --- | ---: | ---: | ---: | ---: | --- |\n";
    for (const Check& check : all_checks()) {
        char row[600];
        std::snprintf(row, sizeof row, "| %s | %s | %.15g | %.10g | %d | %g | %s |\n",
                      check.what.c_str(), check.source.c_str(), check.published, check.ours,
                      static_cast<int>(digits_agreeing(check.published, check.ours)), check.aim,
                      check.note.c_str());
        page += row;
    }
    return page;
}

std::vector<std::vector<double>> columns_of(const std::string& file) {
    std::ifstream in(std::string(PADTRIM_SOURCE_DIR) + "/tests/data/" + file);
    if (!in) throw std::runtime_error("tests/data/" + file + " is missing");
    std::vector<std::vector<double>> columns;
    bool header = true;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line[0] == '#') continue;
        if (header) {
            columns.resize(1 + static_cast<std::size_t>(std::count(line.begin(), line.end(), ',')));
            header = false;
            continue;
        }
        std::istringstream cells(line);
        std::string cell;
        for (auto& column : columns) {
            std::getline(cells, cell, ',');
            column.push_back(cell == "inf" ? INFINITY : std::stod(cell));
        }
    }
    return columns;
}

double certified(const std::string& file, const std::vector<std::string>& keys) {
    std::ifstream in(std::string(PADTRIM_SOURCE_DIR) + "/tests/data/" + file);
    std::string wanted;
    for (const std::string& key : keys) wanted += key + ",";
    for (std::string line; std::getline(in, line);) {
        if (line.rfind(wanted, 0) == 0) return std::stod(line.substr(wanted.size()));
    }
    throw std::runtime_error("tests/data/" + file + " has no " + wanted);
}

}  // namespace padtrim::checks
