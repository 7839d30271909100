// Tolerance intervals (ISO 16269-6): factors and sample sizes as tables print them.
#include <cmath>
#include <cstdio>
#include <utility>

#include "db/statistics/tolerance.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using statistics::Sides;

// 95 % confidence, both sides, mean and standard deviation unknown; printed with two decimals.
constexpr const char* engineers = "Statistics for Environmental Engineers, Table 21.1";
struct Printed {
    std::uint64_t n;
    double at_90, at_95, at_99;  // content, %
};
constexpr Printed table[] = {
    {4, 5.37, 6.34, 8.22},  {5, 4.29, 5.08, 6.60},  {6, 3.73, 4.42, 5.76},  {7, 3.39, 4.02, 5.24},
    {8, 3.16, 3.75, 4.89},  {9, 2.99, 3.55, 4.63},  {10, 2.86, 3.39, 4.44}, {12, 2.67, 3.17, 4.16},
    {15, 2.49, 2.96, 3.89}, {20, 2.32, 2.76, 3.62}, {25, 2.22, 2.64, 3.46}, {30, 2.15, 2.55, 3.35},
    {40, 2.06, 2.45, 3.22}, {60, 1.96, 2.34, 3.07},
};

double factor(std::uint64_t n, double content, double confidence, Sides sides) {
    return *statistics::tolerance_factor(n, {content, confidence}, sides);
}

double cells_as_printed() {
    double same = 0.0;
    for (const Printed& row : table) {
        for (const auto& [content, printed] :
             {std::pair(0.90, row.at_90), std::pair(0.95, row.at_95), std::pair(0.99, row.at_99)}) {
            const double ours = factor(row.n, content, 0.95, Sides::both);
            same += std::abs(ours - printed) <= 0.005 + 1e-9 ? 1.0 : 0.0;
        }
    }
    return same;
}

}  // namespace

std::vector<Check> tolerance_checks() {
    std::vector<Check> checks;
    checks.push_back({"tolerance factors, both sides, that round to what is printed", engineers,
                      42.0, cells_as_printed(), 15, "of 42"});
    const char* iso = "ISO 16269-6, factors of unknown mean and spread, from memory";
    const auto put = [&](std::uint64_t n, double content, double confidence, Sides sides,
                         double printed, const char* source) {
        char what[90];
        std::snprintf(what, sizeof what, "tolerance factor, %s, n %llu, %g %% content, %g %%",
                      sides == Sides::both ? "both sides" : "one side",
                      static_cast<unsigned long long>(n), 100.0 * content, 100.0 * confidence);
        checks.push_back(
            {what, source, printed, factor(n, content, confidence, sides), 4, "as printed"});
    };
    put(2, 0.95, 0.95, Sides::both, 36.519, iso);
    put(3, 0.95, 0.95, Sides::both, 9.789, iso);
    put(10, 0.95, 0.95, Sides::one, 2.911, iso);
    put(20, 0.95, 0.95, Sides::one, 2.396, iso);
    put(50, 0.95, 0.95, Sides::one, 2.065, iso);
    put(43, 0.90, 0.99, Sides::one, 1.8740, "NIST e-Handbook 7.2.6.3, noncentral t, from memory");
    struct Sample {
        double content, confidence, one, both;
    };
    for (const Sample& s :
         {Sample{0.90, 0.90, 22, 38}, Sample{0.90, 0.95, 29, 46}, Sample{0.90, 0.99, 44, 64},
          Sample{0.95, 0.90, 45, 77}, Sample{0.95, 0.95, 59, 93}, Sample{0.95, 0.99, 90, 130},
          Sample{0.99, 0.90, 230, 388}, Sample{0.99, 0.95, 299, 473},
          Sample{0.99, 0.99, 459, 662}}) {
        for (const auto& [ranks, published] : {std::pair(1U, s.one), std::pair(2U, s.both)}) {
            char what[90];
            std::snprintf(what, sizeof what, "sample, distribution-free, %u rank%s, %g %%, %g %%",
                          ranks, ranks == 1 ? "" : "s", 100.0 * s.content, 100.0 * s.confidence);
            const auto ours = statistics::tolerance_sample(ranks, {s.content, s.confidence});
            checks.push_back({what, "ISO 16269-6, distribution-free sample sizes, from memory",
                              published, static_cast<double>(*ours), 15, ""});
        }
    }
    return checks;
}

}  // namespace padtrim::checks
