// The reference steps and fixture parts of one nest, as they are at the temperature of the run.
//
// Pure. Values in pF, uncertainties are standard (k = 1). The step at temperature T is
// value * (1 + tc (T - T0)), T0 the temperature of the characterisation (10_electrical: C0G). The
// coefficient lies within its half-width (rectangular, JCGM 100 4.3.7), an error common to all.
// Without a climate reading the run is taken to be within 5 K of T0 (rectangular). The errors of
// temperature, meter and definition are common to all steps; that of each characterisation is its
// own. Wiring that moves as a relay closes changes by up to the profile's flexing (rectangular),
// anew each time.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "db/record/observations.hpp"
#include "recipes/language/plan.hpp"

namespace padtrim::metrology {

struct TipStep {
    double value = 0.0;        // pF, at the run's temperature
    double independent = 0.0;  // pF, of this characterisation alone
    double common = 0.0;       // pF, of the meter that characterised all
    double temperature = 0.0;  // pF, of the run's temperature
    double definition = 0.0;   // pF, of what the meter leaves out and the unit sees
    [[nodiscard]] double standard() const;
};

struct TipPart {
    double value = 0.0;     // pF
    double standard = 0.0;  // of the characterisation
    double flexing = 0.0;   // pF, standard: of wiring that moves with every closing
};

// What is known of the run's temperature and of the references' coefficient.
struct TemperatureDoubt {
    double above = 0.0;     // K above the characterisation
    double standard = 0.0;  // K, of it: normal when read from a sensor, else rectangular
    bool read = false;
    double coefficient = 0.0, coefficient_standard = 0.0;  // a kelvin; rectangular
    // Of tc (T - T0), with the product of both errors (JCGM 100 5.1.2, note): at T0 nothing else is
    // left of the coefficient's.
    [[nodiscard]] double relative() const;
};

class Tips {
  public:
    Tips(const language::FixtureProfile& profile, const language::EquipmentRecord& references,
         const record::Observations& observations, std::size_t channels);
    // Null when the equipment record has none.
    [[nodiscard]] const TipStep* step(std::size_t channel, std::string_view reference) const;
    [[nodiscard]] const TipStep* step(std::size_t channel, int number) const;
    [[nodiscard]] const TipPart* part(std::size_t channel) const;
    // The same; without one only the wiring's flexing, which the profile states for all.
    [[nodiscard]] TipPart part_or_none(std::size_t channel) const;
    [[nodiscard]] const TemperatureDoubt& temperature() const { return temperature_; }
    // A number for each reference name, from 0; -1 when unknown.
    [[nodiscard]] int number_of(std::string_view reference) const;

  private:
    struct Row {
        std::vector<TipStep> steps;  // by reference number; value 0: none
        TipPart part;
        bool has_part = false;
    };
    TemperatureDoubt temperature_;
    double flexing_ = 0.0;
    std::vector<std::string> names_;
    std::vector<Row> rows_;
};

}  // namespace padtrim::metrology
