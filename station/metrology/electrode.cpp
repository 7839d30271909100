#include "station/metrology/electrode.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "recipes/quantity/settling.hpp"

namespace padtrim::metrology {

using statistics::Checked;
using statistics::Flaw;

namespace {

bool finite(Impedance z) {
    return std::isfinite(z.real()) && std::isfinite(z.imag());
}

}  // namespace

Checked<Impedance> open_short_corrected(Impedance measured, Impedance open, Impedance shorted) {
    if (!finite(measured) || !finite(open) || !finite(shorted)) return Flaw::not_finite;
    if (open == shorted) return Flaw::not_positive;
    const Impedance inside = measured - shorted;
    const Impedance divisor = 1.0 - inside / (open - shorted);
    if (std::abs(divisor) == 0.0) return Flaw::not_positive;
    const Impedance between = inside / divisor;
    if (!finite(between)) return Flaw::not_finite;
    return between;
}

Checked<Impedance> open_short_load_corrected(Impedance measured, Impedance open, Impedance shorted,
                                             Impedance load_measured, Impedance load_true) {
    if (!finite(load_measured) || !finite(load_true)) return Flaw::not_finite;
    const auto dut = open_short_corrected(measured, open, shorted);
    if (!dut) return dut;
    const auto load = open_short_corrected(load_measured, open, shorted);
    if (!load) return load;
    if (std::abs(*load) == 0.0) return Flaw::not_positive;
    const Impedance corrected = *dut * (load_true / *load);
    if (!finite(corrected)) return Flaw::not_finite;
    return corrected;
}

Checked<Picofarad> series_capacitance(Impedance z, Kilohertz frequency) {
    if (!finite(z) || !std::isfinite(frequency.value())) return Flaw::not_finite;
    if (!(frequency.value() > 0.0) || !(z.imag() < 0.0)) return Flaw::not_positive;
    const double omega = 2.0 * std::numbers::pi * frequency.value() * 1e3;
    const double value = -1e12 / (omega * z.imag());
    if (!std::isfinite(value)) return Flaw::not_finite;
    return Picofarad(value);
}

std::optional<TemperatureCoefficient> coefficient_of_code(std::string_view code) {
    struct Letter {
        char letter;
        double value;
    };
    constexpr std::array<Letter, 11> figures{{{'C', 0.0},
                                              {'B', 0.3},
                                              {'L', 0.8},
                                              {'A', 0.9},
                                              {'M', 1.0},
                                              {'P', 1.5},
                                              {'R', 2.2},
                                              {'S', 3.3},
                                              {'T', 4.7},
                                              {'V', 5.6},
                                              {'U', 7.5}}};
    constexpr std::array<Letter, 7> tolerances{{{'G', 30.0},
                                                {'H', 60.0},
                                                {'J', 120.0},
                                                {'K', 250.0},
                                                {'L', 500.0},
                                                {'M', 1000.0},
                                                {'N', 2500.0}}};
    if (code.size() != 3 || code[1] < '0' || code[1] > '9') return std::nullopt;
    const int digit = code[1] - '0';
    // Figures 0 to 4 multiply by -1, -10, ...; 5 to 9 by +1, +10, ...
    const double multiplier = (digit < 5 ? -1.0 : 1.0) * std::pow(10.0, digit % 5);
    for (const Letter& figure : figures) {
        for (const Letter& tolerance : tolerances) {
            if (figure.letter != code[0] || tolerance.letter != code[2]) continue;
            return TemperatureCoefficient{
                PartsPerMillionPerKelvin(figure.value == 0.0 ? 0.0 : figure.value * multiplier),
                PartsPerMillionPerKelvin(tolerance.value)};
        }
    }
    return std::nullopt;
}

Checked<Picofarad> at_temperature(Picofarad value, PartsPerMillionPerKelvin coefficient,
                                  Celsius from, Celsius to) {
    const Picofarad there = value * (1.0 + coefficient.value() * 1e-6 * (to - from).value());
    if (!std::isfinite(there.value())) return Flaw::not_finite;
    return there;
}

Checked<Picofarad> coupled_step(Picofarad coupling, Picofarad stray, Picofarad reference) {
    const double cc = coupling.value(), cs = stray.value(), cr = reference.value();
    if (!std::isfinite(cc) || !std::isfinite(cs) || !std::isfinite(cr)) return Flaw::not_finite;
    if (cc < 0.0 || cs < 0.0 || cr < 0.0) return Flaw::not_positive;
    if (cc == 0.0 || cr == 0.0) return Picofarad(0.0);
    return Picofarad(cc / (cc + cs) * cc * (cr / (cc + cs + cr)));
}

Checked<ContactReading> contact_of(Picofarad seen, Picofarad reference) {
    if (!std::isfinite(seen.value()) || !std::isfinite(reference.value())) return Flaw::not_finite;
    if (!(reference.value() > 0.0)) return Flaw::not_positive;
    const double part = seen / reference;
    if (part > 1.5) return ContactReading{ContactState::shorted_reference, {}};
    if (part >= 0.5) return ContactReading{ContactState::closed, {}};
    // Cs Cr / (Cs + Cr) = seen, solved for Cs.
    const double s = std::max(0.0, seen.value());
    return ContactReading{ContactState::open,
                          Picofarad(s * reference.value() / (reference.value() - s))};
}

Checked<Settling> settling_of(Ohm series, Picofarad load, Kilohertz drive, double allowed) {
    if (!std::isfinite(series.value()) || !std::isfinite(load.value()) ||
        !std::isfinite(drive.value())) {
        return Flaw::not_finite;
    }
    if (!(drive.value() > 0.0) || series.value() < 0.0 || load.value() < 0.0) {
        return Flaw::not_positive;
    }
    if (!(allowed > 0.0 && allowed < 1.0)) return Flaw::out_of_domain;
    Settling settling;
    settling.missing = unsettled_part(charge_time(drive), series, load);
    settling.error = load * settling.missing;
    // exp(-t / tau) = allowed at t = half a period.
    const double time = time_constant(series, load).value() * -std::log(allowed);
    settling.highest_frequency =
        Kilohertz(time > 0.0 ? 0.5 / time : std::numeric_limits<double>::infinity());
    // The time constant at which half a period just suffices, over that of 1 pF.
    const double longest = charge_time(drive).value() / -std::log(allowed);
    const double of_one = time_constant(series, Picofarad(1.0)).value();
    settling.largest_load =
        Picofarad(of_one > 0.0 ? longest / of_one : std::numeric_limits<double>::infinity());
    return settling;
}

}  // namespace padtrim::metrology
