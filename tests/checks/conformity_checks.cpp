// JCGM 106 and what rests on it: conformance probabilities, guard bands, global risks.
#include <cmath>

#include "station/metrology/conformity.hpp"
#include "station/metrology/risk.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

using namespace metrology;

namespace {

// A reading with 2 % relative uncertainty exceeds 100 km/h with probability 0.999 from here on;
// sought with the function that decides.
void add_speed(std::vector<Check>& checks) {
    const Limits exceeded{100.0, {}};
    double low = 100.0, high = 120.0;
    for (int i = 0; i < 60; ++i) {
        const double v = 0.5 * (low + high);
        (*conformance_probability({v, 0.02 * v}, exceeded) < 0.999 ? low : high) = v;
    }
    checks.push_back({"speed that proves 100 km/h exceeded, p = 0.999", "JCGM 106, speed", 107.0,
                      high, 2.3, "printed rounded up, from memory"});
    const auto proves = [&](double v) {
        const language::DecisionRule rule{language::DecisionKind::guarded, 0.001};
        return decide({v, 0.02 * v}, 2.0, exceeded, rule).verdict == record::Verdict::pass;
    };
    checks.push_back({"whole km/h from which on it is proven", "JCGM 106, speed", 107.0,
                      proves(107.0) && !proves(106.0) ? 107.0 : 0.0, 15, "by the guarded rule"});
}

void add_probabilities(std::vector<Check>& checks) {
    const auto put = [&](const char* what, const char* clause, double y, double u, Limits limits,
                         double printed, double exact) {
        const double ours = *conformance_probability({y, u}, limits);
        checks.push_back({what, clause, printed, ours, 2.0, "printed to 2 digits, from memory"});
        checks.push_back({std::string(what) + ", recomputed", "normal distribution, quadrature",
                          exact, ours, 11, ""});
    };
    put("breakdown voltage of a Zener diode, upper limit", "JCGM 106 7.3.3", -5.47, 0.05,
        {{}, -5.40}, 0.92, 0.919243340766);
    put("kinematic viscosity of oil, two limits", "JCGM 106 7.4", 13.6, 1.8, {12.5, 16.3}, 0.66,
        0.662629786495);
    add_speed(checks);
    const double at_limit = 1.0 - *conformance_probability({-2.0, 1.0}, {{}, 0.0});
    checks.push_back({"false acceptance at a guard band w = U", "ILAC-G8:09/2019 (from memory)",
                      0.022750131948, at_limit, 11, "stated there as below 2.5 %"});
    const double iso = 1.0 - *conformance_probability({-1.65, 1.0}, {{}, 0.0});
    checks.push_back({"false acceptance at 1.65 u", "ISO 14253-1:2017 (from memory)", 0.05, iso,
                      1.4, "stated there as 95 % conformance probability; 4.947 % unrounded"});
}

void add_global(std::vector<Check>& checks) {
    // Product N(0, 1), limits +-sl, measurement deviation 1/ratio, acceptance limits sl * guard.
    const auto deaver = [&](double sl, double ratio, double guard, double printed_accept,
                            double accept, double reject) {
        const auto risk = *global_risk(normal_process(0.0, 1.0), 1.0 / ratio, {-sl, sl},
                                       {-sl * guard, sl * guard});
        char what[80];
        std::snprintf(what, sizeof what, "limits +-%g, ratio %g, guard %g", sl, ratio, guard);
        const char* source = "Deaver, How to maintain your confidence, NCSL (1993)";
        checks.push_back({std::string("false acceptance, ") + what, source, printed_accept,
                          risk.consumer, 1.2, "printed to 1 or 2 digits"});
        checks.push_back({std::string("false acceptance, ") + what + ", recomputed",
                          "adaptive quadrature", accept, risk.consumer, 7, ""});
        checks.push_back({std::string("false rejection, ") + what + ", recomputed",
                          "adaptive quadrature", reject, risk.producer, 7, ""});
    };
    deaver(2.0, 4.0, 1.0, 0.008, 0.0080060848, 0.0148508842);
    deaver(2.5, 4.0, 1.0, 0.0025, 0.0024453487, 0.0053193891);
    deaver(2.5, 1.0, 1.0, 0.005, 0.0047235665, 0.0694041076);
    deaver(2.0, 2.0, 0.91, 0.008, 0.0080516085, 0.0661064522);

    // Radial error motion of a ball bearing: at most 2 um, prior gamma(4, 4 per um); readings are
    // never negative.
    const Process bearing = gamma_process(4.0, 4.0);
    const Limits tolerance{{}, 2.0}, readings{0.0, 2.0};
    const auto simple = *global_risk(bearing, 0.25, tolerance, readings);
    const char* source = "JCGM 106 9.5.4, worked anew to these digits";
    checks.push_back({"ball bearing, nonconforming", source, 0.042380111991684,
                      simple.nonconforming, 11, "stated there as 4.2 %"});
    checks.push_back({"ball bearing, consumer's risk of simple acceptance", source,
                      0.008019111884287, simple.consumer, 10, ""});
    checks.push_back({"ball bearing, producer's risk of simple acceptance", source,
                      0.031309524873310, simple.producer, 10, ""});
    const double w = *guard_band_for(bearing, 0.25, tolerance, 0.001, {0.0, {}});
    checks.push_back(
        {"ball bearing, guard band for a risk of 0.1 %, um", source, 0.328171228444, w, 9, ""});
    const auto guarded = *global_risk(bearing, 0.25, tolerance, {0.0, 2.0 - w});
    checks.push_back({"ball bearing, producer's risk when guarded", source, 0.089358831746,
                      guarded.producer, 9, ""});

    // 1500 ohm +-0.2 ohm, process 0.12, measurement 0.04 ohm.
    const Process resistors = normal_process(0.0, 0.12);
    const auto shared = *global_risk(resistors, 0.04, {-0.2, 0.2}, {-0.2, 0.2});
    checks.push_back({"resistors, conforming", "JCGM 106 9.5.4 (parameters from memory)",
                      0.904419295454, 1.0 - shared.nonconforming, 11, "printed 0.90"});
    checks.push_back({"resistors, consumer's risk of simple acceptance", "adaptive quadrature",
                      0.018942206717, shared.consumer, 9, ""});
    const auto guarded_resistors = *global_risk(resistors, 0.04, {-0.2, 0.2}, {-0.12, 0.12});
    checks.push_back({"resistors, consumer's risk with w = U", "adaptive quadrature",
                      0.000468633599, guarded_resistors.consumer, 8, ""});
    checks.push_back({"resistors, producer's risk with w = U", "adaptive quadrature",
                      0.247669640201, guarded_resistors.producer, 9, ""});
}

}  // namespace

std::vector<Check> conformity_checks() {
    std::vector<Check> checks;
    add_probabilities(checks);
    add_global(checks);
    return checks;
}

}  // namespace padtrim::checks
