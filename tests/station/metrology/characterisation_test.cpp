#include "station/metrology/characterisation.hpp"

#include <cmath>
#include <numbers>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::metrology {
namespace {

using ::testing::HasSubstr;

constexpr double omega = 2.0 * std::numbers::pi * 200e3;

// As a meter with leads reads it: shunt beside, series before.
Impedance read(double picofarad) {
    const Impedance shunt(1e-9, omega * 0.8e-12);
    return Impedance(0.9, omega * 0.4e-6) +
           1.0 / (Impedance(0.0, omega * picofarad * 1e-12) + shunt);
}
const Impedance shorted(0.9, omega * 0.4e-6);

language::FixtureProfile profile() {
    language::FixtureProfile fixture;
    fixture.nests.resize(1);
    fixture.meter = language::TipMeter{};
    fixture.meter->common_relative = 0.0006;
    fixture.meter->half_width = Picofarad(0.001);
    fixture.equipment.frequency = Kilohertz(200.0);
    fixture.equipment.definition_relative = 0.002;
    language::CharacterisedStep step;
    step.reference = "R1";
    step.coil = 7;
    step.value = Picofarad(1.000);
    step.expanded_uncertainty = Picofarad(0.004);
    fixture.equipment.steps = {step};
    fixture.equipment.fixture_parts = {{1, 0, Picofarad(0.4), Picofarad(0.01), 2.0}};
    return fixture;
}

// A step of `value` on 1.0 pF, of which 0.6 pF are the adapter's.
TipReadings tip(double value, double noise = 0.0, unsigned repeats = 6) {
    std::mt19937 random(7);
    std::normal_distribution<double> scatter(0.0, 1.0);
    const auto noisy = [&](double picofarad) { return read(picofarad + noise * scatter(random)); };
    TipReadings readings;
    readings.open = read(0.0);
    readings.shorted = shorted;
    readings.references.push_back({"R1", {}});
    for (unsigned i = 0; i < repeats; ++i) {
        const double drift = 0.01 * i;
        readings.retracted.push_back(noisy(0.6));
        readings.references[0].repeats.push_back(
            {noisy(1.0 + drift), noisy(1.0 + drift + 0.005 + value), noisy(1.0 + drift + 0.01)});
    }
    return readings;
}

TEST(ParallelCapacitance, IsThatBesideAConductance) {
    const Impedance z = 1.0 / Impedance(1e-7, omega * 2.2e-12);
    EXPECT_NEAR(parallel_capacitance(z, Kilohertz(200.0))->value(), 2.2, 1e-12);
    EXPECT_FALSE(parallel_capacitance(Impedance(0.0, 0.0), Kilohertz(200.0)));
    EXPECT_FALSE(parallel_capacitance(z, Kilohertz(0.0)));
    EXPECT_FALSE(parallel_capacitance(Impedance(NAN, 1.0), Kilohertz(200.0)));
}

TEST(Characterise, TakesLeadsAndDriftOutOfAStep) {
    const auto found = characterise(profile(), {tip(1.0123)});
    ASSERT_EQ(found.problem, "");
    ASSERT_EQ(found.found.steps.size(), 1U);
    EXPECT_NEAR(found.found.steps[0].step.value.value(), 1.0123, 1e-9);
    EXPECT_EQ(found.found.steps[0].step.coil, 7);
}

TEST(Characterise, FindsWhatThePinsAddInAllOpenReadings) {
    const auto found = characterise(profile(), {tip(1.0)});
    ASSERT_EQ(found.found.parts.size(), 1U);
    // 1.0 pF less 0.6 pF, and the middle of the drift.
    EXPECT_NEAR(found.found.parts[0].value.value(), 0.4 + 0.03, 1e-9);
}

// By hand: rectangular half widths of closed and open, and the meter's common part.
TEST(Characterise, StatesTheRecordsUncertaintyWithoutTheDefinition) {
    const auto found = characterise(profile(), {tip(2.0)});
    const StepFinding& step = found.found.steps.at(0);
    const double kept = std::sqrt(2.0 * 0.001 * 0.001 / 3.0 + std::pow(0.0006 * 2.0, 2));
    EXPECT_NEAR(step.step.expanded_uncertainty.value(), 2.0 * kept, 1e-6);
    EXPECT_EQ(step.step.common_relative, 0.0006);
    EXPECT_NEAR(step.whole.standard, std::hypot(kept, 0.002 * 2.0), 1e-6);
    EXPECT_EQ(step.budget.terms.back().name, "definition: strays beside the guard");
}

TEST(Characterise, WidensWithTheScatterAndItsFewDegrees) {
    const auto quiet = characterise(profile(), {tip(1.0)});
    const auto noisy = characterise(profile(), {tip(1.0, 0.01, 3)});
    EXPECT_GT(noisy.found.steps.at(0).step.expanded_uncertainty.value(),
              3.0 * quiet.found.steps.at(0).step.expanded_uncertainty.value());
}

// The interval holds the true step about as often as it says.
TEST(Characterise, HoldsTheTrueStepAsOftenAsStated) {
    auto fixture = profile();
    fixture.meter->common_relative = 0.0;
    fixture.meter->half_width = Picofarad(0.0);
    std::mt19937 random(11);
    std::normal_distribution<double> scatter(0.0, 0.005);
    int held = 0;
    constexpr int trials = 2000;
    for (int trial = 0; trial < trials; ++trial) {
        TipReadings readings = tip(1.0);
        for (auto& repeat : readings.references[0].repeats)
            repeat = {read(1.0 + scatter(random)), read(2.0 + scatter(random)),
                      read(1.0 + scatter(random))};
        const auto found = characterise(fixture, {readings});
        const auto& step = found.found.steps.at(0).step;
        held += std::abs(step.value.value() - 1.0) <= step.expanded_uncertainty.value();
    }
    // 95 % less than four standard deviations of a binomial; t on 5 degrees.
    EXPECT_NEAR(held / double(trials), 0.95, 0.02);
}

TEST(Characterise, SaysWhichTipMakesNoSense) {
    const auto problem = [](const TipReadings& readings) {
        return characterise(profile(), {readings}).problem;
    };
    EXPECT_THAT(problem(tip(1.0, 0.0, 1)), HasSubstr("nest 1, channel 0: a spread"));
    EXPECT_THAT(problem(tip(-0.5)), HasSubstr("R1 adds nothing there. Check the pin"));
    TipReadings same = tip(1.0);
    same.open = same.shorted;
    EXPECT_THAT(problem(same), HasSubstr("open and short standards"));
    TipReadings unknown = tip(1.0);
    unknown.references[0].reference = "R9";
    EXPECT_THAT(problem(unknown), HasSubstr("no R9 there"));
    TipReadings infinite = tip(1.0);
    infinite.references[0].repeats[0].closed = Impedance(INFINITY, 0.0);
    EXPECT_THAT(problem(infinite), HasSubstr("make no capacitance"));
}

TEST(ChangesSince, CompareTheDifferenceWithBothUncertainties) {
    const auto fixture = profile();
    auto found = characterise(fixture, {tip(1.02)}).found;
    const auto changes = changes_since(fixture.equipment, found);
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_EQ(changes[0].reference, "R1");
    EXPECT_NEAR(changes[0].doubts,
                0.02 / std::hypot(0.004, found.steps[0].step.expanded_uncertainty.value()), 1e-6);
    EXPECT_GT(changes[0].doubts, 1.0);
    EXPECT_TRUE(changes[0].changed);
    EXPECT_EQ(changes[1].reference, "");
}

// Of two tips, beyond the normal quantile of 0.9875 (2.2414) over that of 0.975 (1.9600).
TEST(ChangesSince, AllowForTheLargestOfAllTips) {
    const auto fixture = profile();
    auto found = characterise(fixture, {tip(1.0)}).found;
    const double both = std::hypot(0.004, found.steps[0].step.expanded_uncertainty.value());
    found.steps[0].step.value = Picofarad(1.0 + 1.14 * both);
    EXPECT_FALSE(changes_since(fixture.equipment, found)[0].changed);
    found.steps[0].step.value = Picofarad(1.0 + 1.15 * both);
    EXPECT_TRUE(changes_since(fixture.equipment, found)[0].changed);
}

TEST(Renewed, TakesValuesAndLeavesTheRest) {
    const auto fixture = profile();
    const auto found = characterise(fixture, {tip(1.02)}).found;
    const auto record = renewed(fixture.equipment, found);
    EXPECT_NEAR(record.steps[0].value.value(), 1.02, 1e-9);
    EXPECT_EQ(record.definition_relative, 0.002);
    EXPECT_EQ(record.fixture_parts[0].value, found.parts[0].value);
}

}  // namespace
}  // namespace padtrim::metrology
