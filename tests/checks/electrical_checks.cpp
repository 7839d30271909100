// References and electrodes: C0G limits, settling, open/short correction, ranges of noise.
#include <cmath>

#include "db/statistics/range.hpp"
#include "recipes/quantity/settling.hpp"
#include "station/metrology/electrode.hpp"
#include "tests/checks/published.hpp"

namespace padtrim::checks {

namespace {

using namespace metrology;

void add_temperature(std::vector<Check>& checks) {
    const auto c0g = *coefficient_of_code("C0G");
    const char* source = "EIA-198, class 1";
    checks.push_back({"C0G half-width, ppm/K", source, 30.0, c0g.half_width.value(), 15, ""});
    const auto at = [&](double temperature) {
        return at_temperature(Picofarad(100.0), c0g.half_width, Celsius(25.0), Celsius(temperature))
            .value()
            .value();
    };
    checks.push_back({"100 pF of C0G at 125 degC, most, pF", source, 100.3, at(125.0), 12, ""});
    checks.push_back({"100 pF of C0G at -55 degC, least, pF", source, 99.76, at(-55.0), 12, ""});
    const auto u2j = *coefficient_of_code("U2J");
    checks.push_back({"U2J nominal, ppm/K", "EIA-198, class 1 (from memory)", -750.0,
                      u2j.nominal.value(), 15, ""});
}

void add_settling(std::vector<Check>& checks) {
    const Ohm series(10e3);
    const Picofarad load(20.0);
    const double tau = time_constant(series, load).value();
    const char* source = "step response of an RC branch, exp(-t/RC)";
    checks.push_back({"10 kohm and 20 pF, time constant, ns", source, 200.0, tau * 1e6, 13, ""});
    for (const auto& [taus, residual] :
         {std::pair{5.0, 6.737946999085e-3}, {7.0, 9.118819655545e-4}, {10.0, 4.539992976248e-5}}) {
        // Half a period of so many time constants.
        const auto settled = *settling_of(series, load, Kilohertz(0.5 / (taus * tau)), 1e-3);
        char what[60];
        std::snprintf(what, sizeof what, "part missing after %g time constants", taus);
        checks.push_back({what, source, residual, settled.missing, 11, ""});
    }
    const auto limit = *settling_of(series, load, Kilohertz(100.0), std::ldexp(1.0, -12));
    checks.push_back({"12 bits settled to one step, ns", source, 1663.553233,
                      0.5 / limit.highest_frequency.value() * 1e6, 9, "t = 12 ln 2 RC"});
}

void add_meter(std::vector<Check>& checks) {
    // 10 pF and 3 ohm in series at 100 kHz, seen through series and shunt residuals.
    const Impedance measured(40.8251132256, -138395.571986);
    const Impedance open(2251.82171952, -1061028.15711), shorted(0.25, 0.0188495559215);
    const Impedance dut = *open_short_corrected(measured, open, shorted);
    const char* source = "open/short correction of LCR meters; constructed example";
    checks.push_back({"resistance behind the residuals, ohm", source, 3.0, dut.real(), 5,
                      "inputs given to 12 digits of 138 kohm"});
    checks.push_back(
        {"reactance behind the residuals, ohm", source, -159154.943092, dut.imag(), 10, ""});
    checks.push_back({"capacitance uncorrected, pF", source, 11.5000025512,
                      series_capacitance(measured, Kilohertz(100.0))->value(), 10, ""});
    checks.push_back({"capacitance corrected, pF", source, 10.0,
                      series_capacitance(dut, Kilohertz(100.0))->value(), 10, ""});
    const Impedance loaded(100.249979112, 0.0094247818144);
    const Impedance by_load =
        *open_short_load_corrected(measured, open, shorted, loaded, Impedance(100.0, 0.0));
    checks.push_back(
        {"the same with a load standard, ohm", source, -159154.943092, by_load.imag(), 9, ""});
}

void add_ranges(std::vector<Check>& checks) {
    const auto put = [&](std::size_t n, double d2, double d3) {
        const auto range = *statistics::range_of_normal(n);
        char what[60];
        std::snprintf(what, sizeof what, "of %zu readings", n);
        const char* source = "control chart constants (ISO 7870-2; ASTM MNL 7)";
        checks.push_back({std::string("expected peak-to-peak ") + what, source, d2, range.mean, 3.4,
                          "printed to 3 decimals"});
        checks.push_back({std::string("deviation of peak-to-peak ") + what, source, d3,
                          range.deviation, 2.9, "printed to 3 decimals, from memory"});
    };
    put(2, 1.128, 0.853);
    put(5, 2.326, 0.864);
    put(8, 2.847, 0.820);
    put(10, 3.078, 0.797);
    put(16, 3.532, 0.750);
    put(25, 3.931, 0.708);
}

}  // namespace

std::vector<Check> electrical_checks() {
    std::vector<Check> checks;
    add_temperature(checks);
    add_settling(checks);
    add_meter(checks);
    add_ranges(checks);
    return checks;
}

}  // namespace padtrim::checks
