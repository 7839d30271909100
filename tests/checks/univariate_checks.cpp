// NIST StRD univariate sets through Moments and the lag-one correlation.
#include <cmath>

#include "db/statistics/correlation.hpp"
#include "db/statistics/moments.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using statistics::Moments;

struct Sample {
    const char* name;
    const char* count;
    std::vector<double> values;
};

void add(std::vector<Check>& checks, const Sample& set, const char* quantity, double ours,
         double aim, double attainable = NAN) {
    Check check;
    check.what = std::string(set.name) + " " + quantity;
    check.source = "NIST StRD univariate";
    check.published = certified("strd_univariate_certified.csv", {set.name, set.count, quantity});
    check.ours = ours;
    check.aim = aim;
    if (!std::isnan(attainable)) {
        check.published = attainable;
        check.note = "exact for the data as binary64 holds them; certified for the decimal data";
    }
    checks.push_back(check);
}

// First base + 0.2, then base + 0.1 and base + 0.3 in turn (the sets' own rule), as decimals.
std::vector<double> alternating(const char* whole) {
    std::vector<double> values{std::stod(std::string(whole) + ".2")};
    for (int i = 0; i < 500; ++i) {
        values.push_back(std::stod(std::string(whole) + ".1"));
        values.push_back(std::stod(std::string(whole) + ".3"));
    }
    return values;
}

void add_all(std::vector<Check>& checks, const Sample& set, double attainable_deviation = NAN,
             double attainable_lag = NAN) {
    const Moments moments = Moments::of(set.values);
    add(checks, set, "mean", *moments.mean(), 14);
    add(checks, set, "sd", *moments.standard_deviation(), 11, attainable_deviation);
    add(checks, set, "lag1", *statistics::lag_one(statistics::stretch_of(set.values)), 9,
        attainable_lag);
}

}  // namespace

std::vector<Check> univariate_checks() {
    std::vector<Check> checks;
    const auto read = [](const char* file) { return columns_of(file)[0]; };
    add_all(checks, {"Lew", "200", read("strd_lew.csv")});
    add_all(checks, {"Lottery", "218", read("strd_lottery.csv")});
    add_all(checks, {"Mavro", "50", read("strd_mavro.csv")});
    add_all(checks, {"Michelso", "100", read("strd_michelso.csv")});
    add_all(checks, {"PiDigits", "5000", read("strd_pidigits.csv")});
    add_all(checks, {"NumAcc1", "3", {10000001, 10000003, 10000002}});
    add_all(checks, {"NumAcc2", "1001", alternating("1")});
    // Exact rational arithmetic on the rounded data gives these two.
    add_all(checks, {"NumAcc3", "1001", alternating("1000000")}, 0.1000000000349246,
            -0.9989999999994185);
    add_all(checks, {"NumAcc4", "1001", alternating("10000000")}, 0.10000000055879354,
            -0.9989999999906961);
    return checks;
}

}  // namespace padtrim::checks
