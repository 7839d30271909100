// JCGM 100 Table G.2: coverage factors from Student's t.
#include <cmath>

#include "db/statistics/distributions.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

// The table's columns 68.27, 95.45 and 99.73 are one, two and three standard deviations.
double coverage_of(double percent) {
    if (percent == 68.27) return std::erf(std::sqrt(0.5));
    if (percent == 95.45) return std::erf(std::sqrt(2.0));
    if (percent == 99.73) return std::erf(std::sqrt(4.5));
    return percent / 100.0;
}

// Half a unit of the last digit that the table prints.
double half_digit(double degrees, double printed) {
    if (degrees >= 100.0) return 0.0005;
    return printed >= 100.0 ? 0.05 : 0.005;
}

}  // namespace

std::vector<Check> student_checks() {
    const auto table = columns_of("gum_table_g2.csv");
    std::vector<Check> checks;
    double as_printed = 0.0;
    for (std::size_t i = 0; i < table[0].size(); ++i) {
        const double degrees = table[0][i], percent = table[1][i], printed = table[2][i];
        const double ours = *statistics::coverage_factor(coverage_of(percent), degrees);
        const bool same = std::abs(ours - printed) <= half_digit(degrees, printed) + 1e-12;
        as_printed += same ? 1.0 : 0.0;
    }
    checks.push_back({"cells of Table G.2 that round to what is printed", "JCGM 100 Table G.2",
                      167.0, as_printed, 15,
                      "of 168; for 35 degrees and 90 % the table prints 1.70, the quantile is "
                      "1.68957"});
    const auto put = [&](double degrees, double percent, double exact) {
        char what[60];
        std::snprintf(what, sizeof what, "t, %g degrees, %g %%", degrees, percent);
        checks.push_back({what, "JCGM 100 Table G.2, recomputed in 30 digits", exact,
                          *statistics::coverage_factor(coverage_of(percent), degrees), 12, ""});
    };
    put(1, 95, 12.706204736175);
    put(1, 99.73, 235.80149796047);
    put(2, 68.27, 1.3212773729263);
    put(16, 99, 2.9207816224251);
    put(50, 99.73, 3.157147791837);
    put(100, 90, 1.6602343260853);
    put(100, 95, 1.9839715185236);
    put(INFINITY, 95, 1.9599639845401);
    // The series that takes over at 200 degrees, against the incomplete beta function.
    const double by_beta = *statistics::student_quantile(0.975, 200.0);
    checks.push_back({"t, 200 degrees, 95 %, by series", "incomplete beta function of Boost.Math",
                      by_beta, *statistics::coverage_factor(0.95, 200.0), 10,
                      "Abramowitz and Stegun 26.7.5"});
    return checks;
}

}  // namespace padtrim::checks
