// Wald's sequential test and group-sequential constants.
#include <cmath>
#include <initializer_list>

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>

#include "db/statistics/sequential.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using namespace statistics;

struct Expected {
    double log_a, log_b, h0, h1, slope, at0, at1, midpoint, fixed;
};

void add_wald(std::vector<Check>& checks, const char* name, const char* source,
              const WaldTest::Design& design, const Expected& e) {
    const WaldTest test = *WaldTest::of(design);
    const auto put = [&](const char* what, double published, double ours) {
        checks.push_back({std::string(name) + ", " + what, source, published, ours, 9, ""});
    };
    put("ln A", e.log_a, test.log_a());
    put("ln B", e.log_b, test.log_b());
    put("lower line at 0", e.h0, test.lower_intercept());
    put("upper line at 0", e.h1, test.upper_intercept());
    put("slope of the lines", e.slope, test.slope());
    put("expected readings at theta0", e.at0, *test.expected_readings(design.theta0));
    put("expected readings at theta1", e.at1, *test.expected_readings(design.theta1));
    put("expected readings between", e.midpoint, *test.expected_readings(test.slope()));
    put("readings of the fixed plan", e.fixed, test.fixed_readings());
}

// With the overshoot that Wald's formulas neglect: the test itself, run on drawn readings.
struct Exact {
    const char* where;
    double theta, readings, second;
};
void add_exact(std::vector<Check>& checks, const char* name, const WaldTest::Design& design,
               std::initializer_list<Exact> expected) {
    constexpr int runs = 100000;
    const WaldTest test = *WaldTest::of(design);
    for (const Exact& e : expected) {
        boost::random::mt19937_64 engine(11);
        boost::random::normal_distribution<double> normal;
        double readings = 0.0, second = 0.0;
        for (int run = 0; run < runs; ++run) {
            double sum = 0.0, n = 0.0;
            auto state = SequentialState::go_on;
            while (state == SequentialState::go_on) {
                sum += e.theta + design.deviation * normal(engine);
                n += 1.0;
                state = test.after(n, sum / n);
            }
            readings += n / runs;
            second += state == SequentialState::second ? 1.0 / runs : 0.0;
        }
        const char* source = "integral equation of the test, solved with 300 nodes (Nystroem)";
        const char* note = "100 000 drawn runs of the test";
        checks.push_back({std::string(name) + ", mean readings " + e.where, source, e.readings,
                          readings, 2.2, note});
        checks.push_back({std::string(name) + ", theta1 accepted " + e.where, source, e.second,
                          second, e.second < 0.1 ? 1.1 : 2.2, note});
    }
}

void add_groups(std::vector<Check>& checks) {
    const auto put = [&](BoundaryShape shape, std::size_t looks, double published) {
        const bool pocock = shape == BoundaryShape::pocock;
        const auto boundaries = *group_boundaries(shape, looks, 0.05);
        char what[60];
        std::snprintf(what, sizeof what, "%s constant, %zu looks, 5 %%",
                      pocock ? "Pocock" : "O'Brien-Fleming", looks);
        checks.push_back({what, "Jennison and Turnbull (2000), Tables 2.1 and 2.3 (from memory)",
                          published, boundaries.back(), 3.5, "printed to 4 digits"});
    };
    put(BoundaryShape::pocock, 2, 2.178);
    put(BoundaryShape::pocock, 3, 2.289);
    put(BoundaryShape::pocock, 4, 2.361);
    put(BoundaryShape::pocock, 5, 2.413);
    put(BoundaryShape::obrien_fleming, 2, 1.977);
    put(BoundaryShape::obrien_fleming, 3, 2.004);
    put(BoundaryShape::obrien_fleming, 4, 2.024);
    put(BoundaryShape::obrien_fleming, 5, 2.040);
}

}  // namespace

std::vector<Check> sequential_checks() {
    std::vector<Check> checks;
    add_wald(checks, "Wald's example (135 against 150)",
             "Wald (1947), parameters from memory; results from his formulas",
             {135.0, 150.0, 25.0, 0.01, 0.03},
             {4.574710978503, -3.496507561466, -145.6878150611, 190.6129574376, 142.5, 18.97664098,
              24.06985790, 44.43197647, 49.16677625});
    add_wald(checks, "one deviation, risks 5 % and 10 %", "Wald's formulas, closed form",
             {0.0, 1.0, 1.0, 0.05, 0.1},
             {2.890371757896, -2.251291798606, -2.2512917986, 2.8903717579, 0.5, 3.98841724,
              4.75241080, 6.50707023, 8.56384735});
    add_exact(checks, "Wald's example (135 against 150)", {135.0, 150.0, 25.0, 0.01, 0.03},
              {{"at theta0", 135.0, 21.28241570, 0.0071190572},
               {"at theta1", 150.0, 26.58466992, 0.9787726612},
               {"between", 142.5, 52.85851148, 0.4385312332}});
    add_exact(checks, "one deviation, risks 5 % and 10 %", {0.0, 1.0, 1.0, 0.05, 0.1},
              {{"at theta0", 0.0, 5.56529016, 0.0293412071},
               {"at theta1", 1.0, 6.49207161, 0.9426902234},
               {"between", 0.5, 10.09090559, 0.4492921733}});
    add_groups(checks);
    return checks;
}

}  // namespace padtrim::checks
