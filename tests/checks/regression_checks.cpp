// NIST StRD linear sets: Norris through the straight line, all through the general solver and the
// generalised one; Pearson's data with York's weights.
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

// A certified set as the solvers take it: design row-major; sums of squares about the mean when
// there is an intercept.
struct Set {
    std::string name;
    std::vector<double> design;
    std::size_t unknowns = 2;
    std::vector<double> y;
    bool intercept = true;
    double aim = 11, generalised_aim = 11;
};

// With errors equal and known to be 1 it must find what equal errors of unknown size give; those
// of the estimates are scaled with the residuals afterwards.
void add_generalised(std::vector<Check>& checks, const Set& set) {
    const std::size_t n = set.y.size();
    std::vector<double> identity(n * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) identity[i * n + i] = 1.0;
    const auto fit = *statistics::fit_generalised(set.design, set.unknowns, set.y, identity);
    const std::string with = "generalised least squares";
    const double mean_square = fit.residual_squares / fit.degrees;
    const auto put = [&](const char* quantity, const std::string& index, double ours) {
        add(checks, set.name, quantity, index, ours, set.generalised_aim, with);
    };
    for (std::size_t i = 0; i < set.unknowns; ++i) {
        const std::string index = std::to_string(i);
        double mapped = 0.0;  // by the map from observations, which budgets are made of
        for (std::size_t k = 0; k < n; ++k) mapped += fit.map[i * n + k] * set.y[k];
        put("estimate", index, fit.estimate[i]);
        put("std_dev_of_estimate", index, std::sqrt(fit.variance(i) * mean_square));
        add(checks, set.name, "estimate", index, mapped, set.generalised_aim, with + " by its map");
    }
    put("residual_sd", "", std::sqrt(mean_square));
    put("residual_ss", "", fit.residual_squares);
}

void add_general(std::vector<Check>& checks, const Set& set) {
    const LeastSquares fit = *statistics::fit_equal(set.design, set.unknowns, set.y);
    const std::string with = "general solver";
    for (std::size_t i = 0; i < set.unknowns; ++i) {
        const std::string index = std::to_string(i);
        add(checks, set.name, "estimate", index, fit.estimate[i], set.aim, with);
        add(checks, set.name, "std_dev_of_estimate", index, std::sqrt(fit.variance(i)), set.aim,
            with);
    }
    double origin = 0.0, total = 0.0;
    if (set.intercept) {
        for (const double value : set.y) origin += value / static_cast<double>(set.y.size());
    }
    for (const double value : set.y) total += (value - origin) * (value - origin);
    const double mean_square = fit.residual_squares / fit.degrees;
    const double model = static_cast<double>(set.unknowns) - (set.intercept ? 1.0 : 0.0);
    add(checks, set.name, "residual_sd", "", std::sqrt(mean_square), set.aim, with);
    add(checks, set.name, "residual_ss", "", fit.residual_squares, set.aim, with);
    add(checks, set.name, "r_squared", "", 1.0 - fit.residual_squares / total, set.aim, with);
    add(checks, set.name, "f_statistic", "", (total - fit.residual_squares) / model / mean_square,
        set.aim, with);
}

std::vector<Set> sets() {
    std::vector<Set> all;
    const auto norris = columns_of("strd_norris.csv");
    Set line{"Norris", {}, 2, norris[0]};
    for (const double x : norris[1]) line.design.insert(line.design.end(), {1.0, x});
    all.push_back(line);

    const auto pontius = columns_of("strd_pontius.csv");
    Set square{"Pontius", {}, 3, pontius[0], true, 10, 10};
    for (const double x : pontius[1]) square.design.insert(square.design.end(), {1.0, x, x * x});
    all.push_back(square);

    const auto first = columns_of("strd_noint1.csv"), second = columns_of("strd_noint2.csv");
    all.push_back({"NoInt1", first[1], 1, first[0], false, 13, 13});
    all.push_back({"NoInt2", second[1], 1, second[0], false, 13, 13});

    const auto longley = columns_of("strd_longley.csv");
    Set plane{"Longley", {}, 7, longley[0], true, 10, 10};
    for (std::size_t i = 0; i < longley[0].size(); ++i) {
        plane.design.push_back(1.0);
        for (std::size_t k = 1; k < longley.size(); ++k) plane.design.push_back(longley[k][i]);
    }
    all.push_back(plane);
    return all;
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
    for (const Set& set : sets()) add_general(checks, set);
    for (const Set& set : sets()) add_generalised(checks, set);
    add_york(checks);
    return checks;
}

}  // namespace padtrim::checks
