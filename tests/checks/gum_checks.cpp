// JCGM 100 examples H.1, H.2 and H.3.
#include <array>
#include <cmath>

#include "db/statistics/distributions.hpp"
#include "db/statistics/moments.hpp"
#include "db/statistics/straight_line.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/monte_carlo.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using namespace metrology;

// H.1, calibration of an end gauge, through the product's budget; contributions in nm.
Budget end_gauge() {
    const double length = 50000623.0;  // nm
    Budget budget{"l", "nm", 50000838.0, {}, {}};
    budget.terms = {
        {"standard", 25.0, 1.0, 18.0, Evaluation::type_b},
        {"repeated observations", 5.8, 1.0, 24.0, Evaluation::type_a},
        {"comparator, random", 3.9, 1.0, 5.0, Evaluation::type_b},
        {"comparator, systematic", 6.7, 1.0, 8.0, Evaluation::type_b},
        {"difference of expansion coefficients", rectangular(1e-6), length * 0.1, 50.0,
         Evaluation::type_b},
        {"difference of temperatures", rectangular(0.05), length * 11.5e-6, 2.0,
         Evaluation::type_b},
    };
    return budget;
}

void add_h1(std::vector<Check>& checks) {
    const CombinedUncertainty u = *combine(end_gauge(), 0.99);
    const auto put = [&](const char* what, double published, double ours, double aim,
                         const char* note) {
        checks.push_back(
            {std::string("H.1 end gauge, ") + what, "JCGM 100 H.1", published, ours, aim, note});
    };
    put("standard uncertainty, nm", 32.0, u.standard, 1.9, "printed as 32; 31.66 unrounded");
    put("standard uncertainty unrounded, nm", 31.663879111, u.standard, 9, "recomputed");
    put("effective degrees", 16.7, u.degrees, 2.4, "printed to 3 digits; 16.7519 unrounded");
    put("effective degrees unrounded", 16.7518557376, u.degrees, 9, "recomputed");
    put("k for 99 %, 16 degrees", 2.92, *statistics::coverage_factor(0.99, 16.0), 3,
        "printed to 3 digits");
    put("expanded uncertainty, nm", 93.0, u.expanded, 1.9,
        "printed 93 = 2.92 x the rounded 32 and truncated degrees; ours keeps all digits");
}

// H.1.4: the observed difference of both gauges alone.
void add_h1_difference(std::vector<Check>& checks) {
    Budget d{"d", "nm", 215.0, {}, {}};
    const auto all = end_gauge().terms;
    d.terms.assign(all.begin() + 1, all.begin() + 4);
    const CombinedUncertainty u = *combine(d);
    const char* source = "JCGM 100 H.1, Table H.1";
    checks.push_back(
        {"H.1 end gauge, u(d), nm", source, 9.7, u.standard, 2.7, "printed to 2 digits"});
    checks.push_back(
        {"H.1 end gauge, u(d) unrounded, nm", source, 9.68194195397, u.standard, 11, "recomputed"});
    checks.push_back({"H.1 end gauge, effective degrees of d", source, 25.6, u.degrees, 2.2,
                      "printed from the rounded 9.7 nm, from memory"});
    checks.push_back({"H.1 end gauge, effective degrees of d unrounded", source, 25.44725078,
                      u.degrees, 9, "recomputed"});
}

// H.1.7: the same model with the products of its small terms, which the budget leaves out, through
// the product's propagation of distributions. Lengths in nm.
void add_h1_by_trials(std::vector<Check>& checks) {
    const auto length = [](std::span<const double> x) {
        const double standard = x[0], difference = x[1] + x[2] + x[3];
        const double expansion = x[4], of_both = x[5], kelvin = x[6] + x[7], apart = x[8];
        return standard + difference - standard * (of_both * kelvin + expansion * apart);
    };
    const std::vector<InputDistribution> inputs{
        {InputShape::normal, 50000623.0, 25.0, 0.0},    // the standard
        {InputShape::normal, 215.0, 5.8, 0.0},          // observed difference
        {InputShape::normal, 0.0, 3.9, 0.0},            // comparator, random
        {InputShape::normal, 0.0, 6.7, 0.0},            // and systematic
        {InputShape::rectangular, 11.5e-6, 2e-6, 0.0},  // expansion of the standard
        {InputShape::rectangular, 0.0, 1e-6, 0.0},      // difference of both
        {InputShape::normal, -0.1, 0.2, 0.0},           // mean temperature less 20 degC
        {InputShape::arc_sine, 0.0, 0.5, 0.0},          // its cycle
        {InputShape::rectangular, 0.0, 0.05, 0.0},      // difference of temperatures
    };
    const auto trials = *propagate(length, inputs, 400000, 0.99, 3);
    const char* note = "Monte Carlo of 400 000 trials";
    checks.push_back(
        {"H.1 end gauge, length, mm", "JCGM 100 H.1.3.5", 50.000838, trials.mean * 1e-6, 8, note});
    checks.push_back({"H.1 end gauge, standard uncertainty with second-order terms, nm",
                      "JCGM 100 H.1.7", 34.0, trials.standard, 1.9,
                      "printed as 34, from memory; Monte Carlo of 400 000 trials"});
    checks.push_back({"H.1 end gauge, the same unrounded, nm", "JCGM 100 H.1.7", 33.8065,
                      trials.standard, 2.3, "recomputed; Monte Carlo of 400 000 trials"});
}

// H.2, resistance and reactance from simultaneous voltage, current and phase.
void add_h2(std::vector<Check>& checks) {
    const std::array<double, 5> v{5.007, 4.994, 5.005, 4.990, 4.999};
    const std::array<double, 5> i{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3};
    const std::array<double, 5> phi{1.0456, 1.0438, 1.0468, 1.0428, 1.0433};
    const auto mean = [](const auto& x) { return *statistics::Moments::of(x).mean(); };
    const auto of_mean = [](const auto& x) {
        return *statistics::Moments::of(x).standard_deviation() / std::sqrt(5.0);
    };
    const auto correlation = [&](const auto& x, const auto& y) {
        double sum = 0.0;
        for (std::size_t k = 0; k < 5; ++k) sum += (x[k] - mean(x)) * (y[k] - mean(y));
        return sum / (20.0 * of_mean(x) * of_mean(y));
    };
    const double mv = mean(v), mi = mean(i), mp = mean(phi), z = mv / mi;
    // Sensitivities of R = V/I cos, X = V/I sin, Z = V/I.
    const auto uncertainty = [&](double dv, double di, double dp) {
        Budget b{"", "ohm", 0.0, {}, {}};
        b.terms = {{"V", of_mean(v), dv}, {"I", of_mean(i), di}, {"phi", of_mean(phi), dp}};
        b.correlations = {
            {0, 1, correlation(v, i)}, {0, 2, correlation(v, phi)}, {1, 2, correlation(i, phi)}};
        return combine(b)->standard;
    };
    const double c = std::cos(mp), s = std::sin(mp);
    const auto put = [&](const char* what, double published, double ours, double aim) {
        checks.push_back({std::string("H.2 impedance, ") + what, "JCGM 100 H.2", published, ours,
                          aim, "as many digits as are printed"});
    };
    put("R, ohm", 127.732, z * c, 5.8);
    put("X, ohm", 219.847, z * s, 5.6);
    put("Z, ohm", 254.260, z, 5.9);
    put("u(R), ohm", 0.071, uncertainty(c / mi, -z * c / mi, -z * s), 2.9);
    put("u(X), ohm", 0.295, uncertainty(s / mi, -z * s / mi, z * c), 2.6);
    put("u(Z), ohm", 0.236, uncertainty(1.0 / mi, -z / mi, 0.0), 2.8);
    // Var(a + b) = Var(a) + Var(b) + 2 Cov(a, b), each by the product's combination.
    const auto together = [&](std::array<double, 3> a, std::array<double, 3> b) {
        const double ua = uncertainty(a[0], a[1], a[2]), ub = uncertainty(b[0], b[1], b[2]);
        const double sum = uncertainty(a[0] + b[0], a[1] + b[1], a[2] + b[2]);
        return (sum * sum - ua * ua - ub * ub) / (2.0 * ua * ub);
    };
    const std::array<double, 3> of_r{c / mi, -z * c / mi, -z * s};
    const std::array<double, 3> of_x{s / mi, -z * s / mi, z * c};
    const std::array<double, 3> of_z{1.0 / mi, -z / mi, 0.0};
    put("r(R, X)", -0.588, together(of_r, of_x), 3.1);
    put("r(R, Z)", -0.485, together(of_r, of_z), 3.2);
    put("r(X, Z)", 0.993, together(of_x, of_z), 3.3);
    put("r(V, I)", -0.36, correlation(v, i), 1.8);
    put("r(V, phi)", 0.86, correlation(v, phi), 2.5);
    put("r(I, phi)", -0.65, correlation(i, phi), 2.1);
}

// H.3, calibration of a thermometer: b(t) = y1 + y2 (t - 20).
void add_h3(std::vector<Check>& checks) {
    auto data = columns_of("gum_h3_thermometer.csv");
    for (double& t : data[1]) t -= 20.0;
    const auto line = *statistics::line_of_equal(data[1], data[2]);
    const auto put = [&](const char* what, double published, double ours, double aim,
                         const char* note = "") {
        checks.push_back(
            {std::string("H.3 thermometer, ") + what, "JCGM 100 H.3", published, ours, aim, note});
    };
    const double u1 = std::sqrt(line.intercept_variance), u2 = std::sqrt(line.slope_variance);
    put("y1, degC", -0.1712, line.intercept, 4.5, "printed to 4 digits");
    put("y2", 0.00218, line.slope, 2.8, "printed to 3 digits");
    put("s(y1), degC", 0.0029, u1, 2.0, "printed to 2 digits");
    put("s(y2)", 0.00067, u2, 2.4, "printed to 2 digits");
    put("r(y1, y2)", -0.930, line.covariance / (u1 * u2), 3.2, "printed to 3 digits");
    put("b(30 degC)", -0.1494, line.at(10.0), 3.7, "printed to 4 digits");
    put("u(b(30 degC))", 0.0041, std::sqrt(line.variance_at(10.0)), 2.0, "printed to 2 digits");
    put("y1, 40 digits", -0.17120379013135, line.intercept, 13, "recomputed");
    put("y2, 40 digits", 0.00218269773988728, line.slope, 13, "recomputed");
    put("s(y1), 40 digits", 0.00287759783515995, u1, 12, "recomputed");
    put("s(y2), 40 digits", 0.000667938773227832, u2, 12, "recomputed");
    put("r(y1, y2), 40 digits", -0.930429603093446, line.covariance / (u1 * u2), 12, "recomputed");
    put("u(b(30 degC)), 40 digits", 0.00413859575285495, std::sqrt(line.variance_at(10.0)), 12,
        "recomputed");
}

// JCGM 101 9.2.2: the sum of four standard normal and of four rectangular inputs.
void add_supplement(std::vector<Check>& checks) {
    const auto sum = [](std::span<const double> x) { return x[0] + x[1] + x[2] + x[3]; };
    const std::vector<InputDistribution> normal(4, {InputShape::normal, 0.0, 1.0, 0.0});
    const std::vector<InputDistribution> flat(4,
                                              {InputShape::rectangular, 0.0, std::sqrt(3.0), 0.0});
    constexpr std::size_t trials = 200000;
    const auto a = *propagate(sum, normal, trials, 0.95, 1);
    const auto b = *propagate(sum, flat, trials, 0.95, 2);
    const auto put = [&](const char* what, double published, double ours, double aim) {
        checks.push_back(
            {what, "JCGM 101 9.2", published, ours, aim,
             "Monte Carlo of 200 000 trials; printed to 3 digits, values from memory"});
    };
    put("sum of four normal inputs, standard", 2.00, a.standard, 2.3);
    put("sum of four normal inputs, upper end of 95 %", 3.92, a.high, 2.0);
    put("sum of four rectangular inputs, standard", 2.00, b.standard, 2.3);
    put("sum of four rectangular inputs, upper end of 95 %", 3.88, b.high, 2.0);
}

}  // namespace

std::vector<Check> gum_checks() {
    std::vector<Check> checks;
    add_h1(checks);
    add_h1_difference(checks);
    add_h1_by_trials(checks);
    add_h2(checks);
    add_h3(checks);
    add_supplement(checks);
    return checks;
}

}  // namespace padtrim::checks
