// Reference steps and fixture parts from readings of an impedance meter at the contacts' tips.
//
// Per nest, with the adapter in a unit's place: the meter on its open and short standards, then on
// each tip with the pins retracted; with all references open, with one reference closed, and open
// again. Every reading is open/short corrected (electrode.hpp) and taken as the capacitance beside
// it, C = Im(1/Z)/omega; a step is closed less the mean of the two open readings around it, so that
// drift cancels; a part is open less retracted.
//
// Budget of a step (JCGM 100): scatter of the repeats (type A, n - 1 degrees), the meter's half
// width on closed and open (rectangular), the meter's common error, and the definition: strays that
// a guarded meter leaves out. The record's expanded uncertainty holds all but the last, since
// definition_relative stands in the record by itself; `whole` holds it too. Pure. Values in pF.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "recipes/language/fixture_profile.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/electrode.hpp"

namespace padtrim::metrology {

// C = Im(1/Z)/omega. Flaws: not_finite, not_positive (frequency, or no capacitance at all).
[[nodiscard]] statistics::Checked<Picofarad> parallel_capacitance(Impedance z, Kilohertz frequency);

// One repeat at one tip, as read: open, closed, open again.
struct StepReading {
    Impedance before, closed, after;
};
struct ReferenceReadings {
    std::string reference;
    std::vector<StepReading> repeats;
};
struct TipReadings {
    std::uint16_t nest = 1, channel = 0;
    Impedance open, shorted;           // the adapter's standards, as read for this nest
    std::vector<Impedance> retracted;  // the tip with the pins off the adapter
    std::vector<ReferenceReadings> references;
};

struct StepFinding {
    language::CharacterisedStep step;  // with the record's expanded uncertainty
    Budget budget;                     // with the definition
    CombinedUncertainty whole;
};
struct Characterisation {
    std::vector<StepFinding> steps;
    std::vector<language::FixturePart> parts;
};

// Coils and coverage factors are those of the profile's record. A sentence when a tip's readings
// make no capacitance, or fewer than two repeats were made: which tip, and what to look at.
struct Characterised {
    Characterisation found;
    std::string problem;  // "" when there is none
};
[[nodiscard]] Characterised characterise(const language::FixtureProfile& profile,
                                         const std::vector<TipReadings>& tips);

// A value beside that of the last characterisation. `doubts`: the difference over the expanded
// uncertainty of the difference, sqrt(U^2 + U^2) (the E_n of ISO/IEC 17043). Of many tips some lie
// beyond 1 by chance; `changed` are those beyond what the largest of them all would reach with a
// probability of 5 % if nothing had changed (Bonferroni: the normal quantile of 0.05 / (2 tips)
// over 1.96).
struct StepChange {
    std::uint16_t nest = 1, channel = 0;
    std::string reference;  // "" for a fixture part
    double before = 0.0, now = 0.0;
    double expanded_before = 0.0, expanded_now = 0.0;
    double doubts = 0.0;
    bool changed = false;
};
// Steps and parts that both have, in the order of `now`.
[[nodiscard]] std::vector<StepChange> changes_since(const language::EquipmentRecord& before,
                                                    const Characterisation& now);

// The record with these values: what it said of wiring, temperature coefficient and definition
// stays. Uncertainties are those found.
[[nodiscard]] language::EquipmentRecord renewed(language::EquipmentRecord record,
                                                const Characterisation& found);

}  // namespace padtrim::metrology
