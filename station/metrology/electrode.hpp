// What lies between a reference capacitor and an electrode: meter residuals, temperature, contacts,
// settling, plates.
//
// Pure. Capacitances in pF unless a type says so, impedances in ohm.
#pragma once

#include <complex>
#include <optional>
#include <string_view>

#include "db/statistics/flaw.hpp"
#include "recipes/quantity/quantity.hpp"

namespace padtrim::metrology {

using Impedance = std::complex<double>;

// A meter's residuals: series impedance Zs, then shunt admittance Yo. With Zo read open and Zs read
// short, Zdut = (Zm - Zs) / (1 - (Zm - Zs) / (Zo - Zs)), exact for this model (the usual open/short
// correction of LCR meters). Flaws: not_positive when open and short read alike.
[[nodiscard]] statistics::Checked<Impedance> open_short_corrected(Impedance measured,
                                                                  Impedance open,
                                                                  Impedance shorted);
// With a load standard of known impedance as well: takes any linear two-port between.
[[nodiscard]] statistics::Checked<Impedance> open_short_load_corrected(Impedance measured,
                                                                       Impedance open,
                                                                       Impedance shorted,
                                                                       Impedance load_measured,
                                                                       Impedance load_true);
// Capacitance of a series equivalent circuit.
[[nodiscard]] statistics::Checked<Picofarad> series_capacitance(Impedance z, Kilohertz frequency);

// Temperature coefficient by its class-1 code (EIA-198: figure, multiplier, tolerance): "C0G".
struct TemperatureCoefficient {
    PartsPerMillionPerKelvin nominal, half_width;
};
[[nodiscard]] std::optional<TemperatureCoefficient> coefficient_of_code(std::string_view code);
// Value at another temperature, linear. Flaw: not_finite.
[[nodiscard]] statistics::Checked<Picofarad> at_temperature(Picofarad value,
                                                            PartsPerMillionPerKelvin coefficient,
                                                            Celsius from, Celsius to);

// Step that an electrode sees of a reference behind a coupling capacitor with stray beside the
// reference: Cc^2 Cr / ((Cc + Cs)(Cc + Cs + Cr)). A plate over the overlay, or an open contact.
// Flaws: not_finite, not_positive (a negative capacitance).
[[nodiscard]] statistics::Checked<Picofarad> coupled_step(Picofarad coupling, Picofarad stray,
                                                          Picofarad reference);

// What a channel's change in a contact check says about its pin.
enum class ContactState { closed, open, shorted_reference };
struct ContactReading {
    ContactState state = ContactState::closed;
    std::optional<Picofarad> series;  // capacitance that stands in for an open contact
};
// `seen`: change over nominal gain, `reference`: the step it should be. Below half of it the
// contact is taken for open and the series capacitance solved for without stray. Flaws: not_finite,
// not_positive (no reference).
[[nodiscard]] statistics::Checked<ContactReading> contact_of(Picofarad seen, Picofarad reference);

// Charging through the branch's series resistor in half a period of the drive.
struct Settling {
    double missing = 0.0;         // part of the charge that is missing
    Picofarad error;              // the same of the load
    Kilohertz highest_frequency;  // at which `allowed` is just kept
    Picofarad largest_load;       // with which it is just kept at this drive
};
[[nodiscard]] statistics::Checked<Settling> settling_of(Ohm series, Picofarad load, Kilohertz drive,
                                                        double allowed);

}  // namespace padtrim::metrology
