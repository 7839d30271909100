// References as a run has them, and heights, each figure worked out here by hand.
#include <cmath>

#include <gtest/gtest.h>

#include "station/metrology/tips.hpp"
#include "tests/station/metrology/hand_made.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::HandMade;

// JCGM 100 4.3.4 (U / k), 4.3.7 (a half-width over the root of 3), equation 10 for tc (T - T0) with
// the product of both errors (5.1.2, note).
TEST(TipsByValue, AreThoseOfTheRunsTemperature) {
    HandMade unit(1, 1);
    auto& step = unit.reference("R1", 2.0);
    step.expanded_uncertainty = Picofarad(0.010);
    step.coverage_factor = 2.5;
    step.common_relative = 0.0012;
    unit.part(0.4, 0.009).coverage_factor = 3.0;
    auto& equipment = unit.plan.fixture.equipment;
    equipment.temperature_coefficient = PartsPerMillionPerKelvin(40.0);
    equipment.temperature_coefficient_half_width = PartsPerMillionPerKelvin(30.0);
    equipment.definition_relative = 0.003;
    unit.plan.fixture.climate = language::ClimateSensor{};
    unit.plan.fixture.climate->temperature_expanded_uncertainty = Celsius(0.6);
    const auto tips = [&] {
        return Tips(unit.plan.fixture, unit.plan.fixture.equipment, unit.seen, 1);
    };
    // Unread: at the certificate's 23 C, within 5 K.
    const double kelvin = 5.0 / std::sqrt(3.0), tc = 40e-6, of_tc = 30e-6 / std::sqrt(3.0);
    EXPECT_EQ(tips().step(0, "R1")->value, 2.0);
    EXPECT_NEAR(tips().step(0, "R1")->temperature, 2.0 * kelvin * std::hypot(tc, of_tc), 1e-15);
    unit.seen.climate = {{0, Celsius(26.6), {}}, {1000, Celsius(27.4), {}}};
    const Tips read = tips();
    const TipStep* tip = read.step(0, "R1");
    ASSERT_TRUE(tip);
    EXPECT_NEAR(tip->value, 2.0 * (1.0 + 40e-6 * 4.0), 1e-15);
    EXPECT_NEAR(tip->common, 0.0024, 1e-15);
    EXPECT_NEAR(tip->independent, std::sqrt(0.004 * 0.004 - 0.0024 * 0.0024), 1e-15);
    EXPECT_NEAR(tip->definition, 0.006, 1e-15);
    const double by_kelvin = tc * 0.3, by_tc = of_tc * std::sqrt(16.0 + 0.09);
    EXPECT_NEAR(tip->temperature, 2.0 * std::hypot(by_kelvin, by_tc), 1e-15);
    EXPECT_NEAR(tip->standard(),
                std::sqrt(0.004 * 0.004 + 0.006 * 0.006 + tip->temperature * tip->temperature),
                1e-15);
    EXPECT_NEAR(read.part(0)->standard, 0.003, 1e-15);
}

// Level below 0.1 mm: 500 counts; above it 1000 counts/mm less.
HandMade approached() {
    HandMade unit(1, 1);
    unit.step("curve", language::ApproachStep{.keys = {"key 1"},
                                              .surface = {{}, Millimetre(1.0)},
                                              .operating_distance = {{}, Millimetre(2.0)},
                                              .differential_travel = {{}, Millimetre(2.0)}});
    const std::pair<double, int> curve[] = {
        {1.0, 2000}, {0.4, 2200}, {0.2, 2400}, {0.0, 2500}, {-0.2, 2500}};
    for (const auto& [height, counts] : curve)
        unit.state("curve", "", {{counts}}).finger = unit.finger("key 1", height);
    const std::pair<double, bool> looks[] = {{1.0, false}, {0.6, false}, {0.5, true},
                                             {0.0, true},  {0.5, true},  {0.7, false}};
    for (const auto& [height, felt] : looks) unit.look("curve", "key 1", height, felt);
    return unit;
}

// A place between two looks is known to their distance over the root of 12 (JCGM 100 4.3.7).
TEST(HeightsByValue, AreKnownToTheIntervalOfTheirLooks) {
    const HandMade unit = approached();
    const auto check = [&](const char* name, double value, double variance) {
        const auto found = unit.check(name);
        EXPECT_NEAR(found.value, value, 1e-9) << name;
        EXPECT_NEAR(found.standard_uncertainty, std::sqrt(variance / 12.0), 1e-9) << name;
    };
    check("surface", 0.1, 0.04);
    check("operating distance", 0.55 - 0.1, 0.01 + 0.04);
    // The surface cancels out of a difference of two heights above it.
    check("differential travel", 0.6 - 0.55, 0.01 + 0.04);
}

// A surface against a nominal overlay leads back to the axis, and to nothing where that was never
// calibrated (VIM 2.41); U = 0.06 mm, k = 2 (JCGM 100 4.3.3). Distances above it do not.
TEST(HeightsByValue, AreTraceableWhereTheAxisIs) {
    HandMade unit = approached();
    EXPECT_EQ(unit.check("surface").traceability, record::Traceability::comparable);
    const double distance = unit.check("operating distance").standard_uncertainty;
    unit.plan.fixture.finger->height_expanded_uncertainty = Millimetre(0.06);
    const auto surface = unit.check("surface");
    EXPECT_EQ(surface.traceability, record::Traceability::traceable);
    EXPECT_NEAR(surface.standard_uncertainty, std::hypot(0.2 / std::sqrt(12.0), 0.03), 1e-9);
    EXPECT_EQ(unit.check("operating distance").standard_uncertainty, distance);
}

// The finger falls at 50 mm/s from 10 mm above; it passes 0.55 mm after 189 ms. Looks at a report
// every 10 ms; twice.
TEST(HeightsByValue, ResponseTimeHoldsLooksAndTheHeightItCountsFrom) {
    HandMade unit = approached();
    unit.step("response", language::ResponseStep{.keys = {"key 1"},
                                                 .speed = MillimetrePerSecond(50.0),
                                                 .response_time = {{}, Millisecond(90.0)}});
    const int felt_from[] = {210, 220};
    for (int fall = 0; fall < 2; ++fall) {
        for (int ms = 0; ms <= 240; ms += 10) {
            const double height = std::max(0.0, 10.0 - 0.05 * ms);
            record::Sighting s{"response", unit.finger("key 1", height), 1000 * ms, 1000 * ms, {},
                               {}};
            s.reported = {ms >= felt_from[fall]};
            unit.seen.sightings.push_back(s);
        }
    }
    const auto found = unit.check("response time");
    EXPECT_NEAR(found.value, 0.5 * (205.0 + 215.0) - 189.0, 1e-6);
    // Mean of two looks' intervals; the height itself is common to both.
    const double looks = 2.0 * 100.0 / 12.0 / 4.0, height = (0.01 + 0.04) / 12.0;
    EXPECT_NEAR(found.standard_uncertainty, std::sqrt(looks + height * 400.0), 1e-6);
}

}  // namespace
}  // namespace padtrim::metrology
