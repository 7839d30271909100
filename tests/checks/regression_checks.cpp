// NIST StRD linear sets: Norris through the straight line, the rest through the general solver;
// Pearson's data with York's weights.
#include <cmath>

#include "db/statistics/least_squares.hpp"
#include "db/statistics/straight_line.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using statistics::LeastSquares;

void add(std::vector<Check>& checks, const std::string& set, const std::string& quantity,
         const std::string& index, double ours, double aim, const std::string& with) {
    const double value = certified("strd_linear_certified.csv", {set, quantity, index});
    checks.push_back({set + " " + quantity + (index.empty() ? "" : " " + index) + ", " + with,
                      "NIST StRD linear", value, ours, aim, ""});
}

void add_norris(std::vector<Check>& checks) {
    const auto data = columns_of("strd_norris.csv");
    const auto line = *statistics::line_of_equal(data[1], data[0]);
    const std::string with = "straight line";
    add(checks, "Norris", "estimate", "0", line.intercept, 12, with);
    add(checks, "Norris", "estimate", "1", line.slope, 13, with);
    add(checks, "Norris", "std_dev_of_estimate", "0", std::sqrt(line.intercept_variance), 12, with);
    add(checks, "Norris", "std_dev_of_estimate", "1", std::sqrt(line.slope_variance), 12, with);
    add(checks, "Norris", "residual_sd", "", std::sqrt(line.residual_variance), 12, with);
    add(checks, "Norris", "r_squared", "", *line.r_squared(), 13, with);
    add(checks, "Norris", "residual_ss", "", line.residual_squares, 12, with);
    add(checks, "Norris", "f_statistic", "", *line.f_statistic(), 12, with);
    checks.push_back({"Norris covariance of intercept and slope, straight line",
                      "computed in 60 digits from the certified data", -0.000077432753631564362,
                      line.covariance, 12, ""});
}

// design: row-major; sums of squares about the mean when there is an intercept.
void add_general(std::vector<Check>& checks, const std::string& set,
                 const std::vector<double>& design, std::size_t unknowns,
                 const std::vector<double>& y, bool intercept, double aim) {
    const LeastSquares fit = *statistics::fit_equal(design, unknowns, y);
    const std::string with = "general solver";
    for (std::size_t i = 0; i < unknowns; ++i) {
        const std::string index = std::to_string(i);
        add(checks, set, "estimate", index, fit.estimate[i], aim, with);
        add(checks, set, "std_dev_of_estimate", index, std::sqrt(fit.variance(i)), aim, with);
    }
    double origin = 0.0, total = 0.0;
    if (intercept) {
        for (const double value : y) origin += value / static_cast<double>(y.size());
    }
    for (const double value : y) total += (value - origin) * (value - origin);
    const double mean_square = fit.residual_squares / fit.degrees;
    const double model = static_cast<double>(unknowns) - (intercept ? 1.0 : 0.0);
    add(checks, set, "residual_sd", "", std::sqrt(mean_square), aim, with);
    add(checks, set, "residual_ss", "", fit.residual_squares, aim, with);
    add(checks, set, "r_squared", "", 1.0 - fit.residual_squares / total, aim, with);
    add(checks, set, "f_statistic", "", (total - fit.residual_squares) / model / mean_square, aim,
        with);
}

void add_sets(std::vector<Check>& checks) {
    const auto norris = columns_of("strd_norris.csv");
    std::vector<double> design;
    for (const double x : norris[1]) design.insert(design.end(), {1.0, x});
    add_general(checks, "Norris", design, 2, norris[0], true, 11);

    const auto pontius = columns_of("strd_pontius.csv");
    design.clear();
    for (const double x : pontius[1]) design.insert(design.end(), {1.0, x, x * x});
    add_general(checks, "Pontius", design, 3, pontius[0], true, 10);

    for (const char* name : {"NoInt1", "NoInt2"}) {
        const auto data =
            columns_of(name == std::string("NoInt1") ? "strd_noint1.csv" : "strd_noint2.csv");
        add_general(checks, name, data[1], 1, data[0], false, 13);
    }

    const auto longley = columns_of("strd_longley.csv");
    design.clear();
    for (std::size_t i = 0; i < longley[0].size(); ++i) {
        design.push_back(1.0);
        for (std::size_t k = 1; k < longley.size(); ++k) design.push_back(longley[k][i]);
    }
    add_general(checks, "Longley", design, 7, longley[0], true, 10);
}

void add_york(std::vector<Check>& checks) {
    auto data = columns_of("pearson_york.csv");
    for (const std::size_t weights : {1U, 3U}) {
        for (double& w : data[weights]) w = 1.0 / std::sqrt(w);
    }
    const auto line = *statistics::line_of_york(data[0], data[1], data[2], data[3]);
    const auto put = [&](const char* what, double published, double ours, double aim,
                         const char* note = "") {
        checks.push_back({std::string("Pearson's data with York's weights, ") + what,
                          "York et al., Am. J. Phys. 72 (2004) 367, Table II", published, ours, aim,
                          note});
    };
    put("slope", -0.480533407, line.slope, 8.5, "printed to 9 digits");
    put("intercept", 5.479910224, line.intercept, 9, "printed to 10 digits");
    put("standard error of slope", 0.0579850090, std::sqrt(line.slope_variance), 8.5, "");
    put("standard error of intercept", 0.294970735, std::sqrt(line.intercept_variance), 8.5, "");
    put("S / (n - 2)", 1.483294149, line.chi_squared / line.degrees, 9, "");
    put("slope, 40 digits", -0.480533407446201987, line.slope, 13, "recomputed, York's iteration");
    put("intercept, 40 digits", 5.47991022403286536, line.intercept, 13,
        "recomputed, York's iteration");
    put("covariance, 40 digits", -0.0164725446581158, line.covariance, 12, "recomputed");
}

}  // namespace

std::vector<Check> regression_checks() {
    std::vector<Check> checks;
    add_norris(checks);
    add_sets(checks);
    add_york(checks);
    return checks;
}

}  // namespace padtrim::checks
