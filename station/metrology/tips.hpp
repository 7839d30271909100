// The reference steps and fixture parts of one nest, as they are at the temperature of the run.
//
// Pure. Values in pF, uncertainties are standard (k = 1). The step at temperature T is
// value * (1 + tc (T - T0)), T0 the temperature of the characterisation (10_electrical: C0G). The
// coefficient lies within its half-width (rectangular, JCGM 100 4.3.7), an error common to all.
// Without a climate reading the run is taken to be within 5 K of T0 (rectangular). The errors of
// temperature, meter and definition are common to all steps; that of each characterisation is its
// own.
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
    double value = 0.0;  // pF
    double standard = 0.0;
};

class Tips {
  public:
    Tips(const language::FixtureProfile& profile, const language::EquipmentRecord& references,
         const record::Observations& observations, std::size_t channels);
    // Null when the equipment record has none.
    [[nodiscard]] const TipStep* step(std::size_t channel, std::string_view reference) const;
    [[nodiscard]] const TipPart* part(std::size_t channel) const;
    // A number for each reference name, from 0; -1 when unknown.
    [[nodiscard]] int number_of(std::string_view reference) const;

  private:
    struct Row {
        std::vector<TipStep> steps;  // by reference number; value 0: none
        TipPart part;
        bool has_part = false;
    };
    std::vector<std::string> names_;
    std::vector<Row> rows_;
};

}  // namespace padtrim::metrology
