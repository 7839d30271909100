#include "station/metrology/budget.hpp"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "station/metrology/line_report.hpp"
#include "station/metrology/monte_carlo.hpp"
#include "tests/station/metrology/simulated_run.hpp"

namespace padtrim::metrology {
namespace {

using statistics::Flaw;
using testing::HasSubstr;

Budget two_terms(double a, double b, double r) {
    Budget budget{"x", "mm", 1.0, {}, {}};
    budget.terms = {{"a", a, 1.0, 9.0, Evaluation::type_a}, {"b", b, -2.0}};
    budget.correlations = {{0, 1, r}};
    return budget;
}

TEST(Budget, CombinesCorrelatedTermsWithTheirSigns) {
    // u^2 = a^2 + 4 b^2 - 4 r a b (JCGM 100 equation 16).
    for (const double r : {-1.0, -0.3, 0.0, 0.8, 1.0}) {
        const auto u = *combine(two_terms(3.0, 2.0, r));
        EXPECT_NEAR(u.standard, std::sqrt(9.0 + 16.0 - 24.0 * r), 1e-12);
    }
}

TEST(Budget, FullyOpposedEqualTermsCancel) {
    EXPECT_EQ(combine(two_terms(4.0, 2.0, 1.0))->standard, 0.0);
}

TEST(Budget, SharesAddUpToTheWhole) {
    const auto u = *combine(two_terms(3.0, 2.0, -0.4));
    EXPECT_NEAR(u.shares[0] + u.shares[1] + u.correlation_share, 100.0, 1e-9);
}

TEST(Budget, NamesEveryBadInput) {
    EXPECT_EQ(combine(two_terms(NAN, 1.0, 0.0)).error(), Flaw::not_finite);
    EXPECT_EQ(combine(two_terms(1.0, 1.0, 1.5)).error(), Flaw::out_of_domain);
    Budget lost = two_terms(1.0, 1.0, 0.0);
    lost.correlations[0].second = 7;
    EXPECT_EQ(combine(lost).error(), Flaw::sizes_differ);
    lost = two_terms(1.0, 1.0, 0.0);
    lost.terms[0].degrees = 0.0;
    EXPECT_EQ(combine(lost).error(), Flaw::out_of_domain);
    EXPECT_THAT(budget_text(lost), HasSubstr("outside its domain"));
}

TEST(Budget, PrintsATermALineWithItsShare) {
    const std::string text = budget_text(two_terms(3.0, 2.0, 0.0));
    EXPECT_THAT(text, HasSubstr("x = 1 mm"));
    EXPECT_THAT(text, HasSubstr("36.0%"));
    EXPECT_THAT(text, HasSubstr("64.0%"));
    EXPECT_THAT(text, HasSubstr("expanded"));
}

TEST(Propagate, AgreesWithTheLawOfPropagationForALinearModel) {
    const std::vector<InputDistribution> inputs{{InputShape::normal, 1.0, 0.5, 0.0},
                                                {InputShape::rectangular, 2.0, 1.0, 0.0},
                                                {InputShape::arc_sine, 0.0, 0.4, 0.0},
                                                {InputShape::triangular, 0.0, 0.6, 0.0},
                                                {InputShape::student, 0.0, 0.2, 12.0}};
    const auto model = [](std::span<const double> x) {
        return x[0] - 3.0 * x[1] + x[2] + x[3] + x[4];
    };
    const auto result = *propagate(model, inputs, 200000, 0.95, 7);
    // Student's t with v degrees has variance v / (v - 2) (JCGM 101 6.4.9.4).
    const double variance = 0.25 + 9.0 / 3.0 + 0.16 / 2.0 + 0.36 / 6.0 + 0.04 * 12.0 / 10.0;
    EXPECT_NEAR(result.mean, -5.0, 0.02);
    EXPECT_NEAR(result.standard / std::sqrt(variance), 1.0, 0.01);
    EXPECT_LE(result.shortest_high - result.shortest_low, result.high - result.low + 1e-12);
}

TEST(Propagate, RepeatsItselfUnderItsSeedAndNamesBadInput) {
    const std::vector<InputDistribution> one{{InputShape::normal, 0.0, 1.0, 0.0}};
    const auto same = [](std::span<const double> x) { return x[0]; };
    EXPECT_EQ(propagate(same, one, 1000, 0.95, 3)->mean, propagate(same, one, 1000, 0.95, 3)->mean);
    EXPECT_EQ(propagate(same, one, 999, 0.95, 3).error(), Flaw::too_few_points);
    EXPECT_EQ(propagate(same, one, 1000, 1.0, 3).error(), Flaw::out_of_domain);
    const std::vector<InputDistribution> bad{{InputShape::normal, 0.0, -1.0, 0.0}};
    EXPECT_EQ(propagate(same, bad, 1000, 0.95, 3).error(), Flaw::not_positive);
    const auto broken = [](std::span<const double>) { return NAN; };
    EXPECT_EQ(propagate(broken, one, 1000, 0.95, 3).error(), Flaw::not_finite);
}

TEST(LineReport, MonteCarloConfirmsTheStatedIntervals) {
    const language::PlanPtr plan = test_support::demo_plan();
    for (const double noise : {0.1, 2.0, 8.0}) {
        metrology_test::SimulatedRun run(*plan, {.noise = noise}, 5);
        run.gain_and_offset();
        const auto report = line_report(*plan, plan->fixture.equipment, run.seen, 3, 1, 20000);
        ASSERT_TRUE(report.has_value()) << report.error().what;
        const auto gain = *combine(report->gain), offset = *combine(report->offset);
        const auto& trials = *report->trials;
        EXPECT_NEAR(trials.gain.standard / gain.standard, 1.0, 0.03) << noise;
        EXPECT_NEAR(trials.offset.standard / offset.standard, 1.0, 0.03) << noise;
        EXPECT_NEAR((trials.gain.high - trials.gain.low) / (2.0 * gain.expanded), 1.0, 0.03);
        EXPECT_NEAR((trials.offset.high - trials.offset.low) / (2.0 * offset.expanded), 1.0, 0.03);
    }
}

TEST(LineReport, CarriesWhatAGuardedMeterLeavesOut) {
    language::Plan plan = *test_support::demo_plan();
    metrology_test::SimulatedRun run(plan, {}, 5);
    run.gain_and_offset();
    const auto without = line_report(plan, plan.fixture.equipment, run.seen, 3, 0);
    plan.fixture.equipment.definition_relative = 0.002;
    const auto with = line_report(plan, plan.fixture.equipment, run.seen, 3, 0, 20000);
    ASSERT_TRUE(without && with);
    EXPECT_EQ(with->gain.value, without->gain.value) << "one error common to all moves no fit";
    const double before = combine(without->gain)->standard, after = combine(with->gain)->standard;
    const double added = 0.002 * with->gain.value;
    // The references themselves are a few 1e-5 larger at the run's temperature.
    EXPECT_NEAR(after * after, before * before + added * added, 1e-4 * after * after);
    EXPECT_NEAR(with->trials->gain.standard / after, 1.0, 0.03);
    EXPECT_THAT(text_of(*with), HasSubstr("what a guarded meter leaves out"));
}

TEST(LineReport, PrintsBothBudgetsAndSaysWhyThereIsNone) {
    const language::PlanPtr plan = test_support::demo_plan();
    metrology_test::SimulatedRun run(*plan, {}, 5);
    run.gain_and_offset();
    const auto report = line_report(*plan, plan->fixture.equipment, run.seen, 0, 0, 1000);
    ASSERT_TRUE(report.has_value());
    const std::string text = text_of(*report);
    for (const char* part : {"gain = ", "offset = ", "scatter of readings", "the fixture's part",
                             "by Monte Carlo", "correlation"}) {
        EXPECT_THAT(text, HasSubstr(part));
    }
    const auto none = line_report(*plan, plan->fixture.equipment, {}, 0, 0);
    ASSERT_FALSE(none.has_value());
    EXPECT_THAT(none.error().what, HasSubstr("No line was fitted for key 1"));
    EXPECT_FALSE(line_report(*plan, plan->fixture.equipment, run.seen, 99, 0).has_value());
}

// JCGM 101 7.7.2, note: of 1000 sorted values the 25th and the 975th.
TEST(Summarised, TakesTheValuesThatTheGuideCounts) {
    std::vector<double> values;
    for (int i = 1; i <= 1000; ++i) values.push_back(i);
    const auto even = *summarised(values, 0.95);
    EXPECT_EQ(even.low, 25.0);
    EXPECT_EQ(even.high, 975.0);
    // M = 1001, q = 951: r = 25 again.
    values.push_back(1001.0);
    const auto odd = *summarised(values, 0.95);
    EXPECT_EQ(odd.low, 25.0);
    EXPECT_EQ(odd.high, 976.0);
    EXPECT_EQ(odd.shortest_high - odd.shortest_low, 951.0);
    EXPECT_EQ(summarised(values, 0.999999).error(), Flaw::too_few_points);
}

// One result, one uncertainty: the printed budget and the judge's line say the same, also where the
// states disagree and the Birge ratio widens both.
TEST(LineReport, StatesTheUncertaintyThatTheJudgeStates) {
    const language::PlanPtr plan = test_support::demo_plan();
    for (const bool disagree : {false, true}) {
        metrology_test::SimulatedRun run(*plan, {}, 5);
        run.gain_and_offset();
        if (disagree) {
            int state = 0;
            for (auto& readings : run.seen.readings) {
                for (auto& scan : readings.scans)
                    for (auto& count : scan.counts) count += state % 2 == 0 ? 12 : 0;
                state += 1;
                if (readings.situation.reference.empty()) state += 1;
            }
        }
        const auto report = line_report(*plan, plan->fixture.equipment, run.seen, 3, 0, 20000);
        ASSERT_TRUE(report.has_value()) << report.error().what;
        EXPECT_EQ(report->excess > 1.0, disagree);
        const auto gain = *combine(report->gain), offset = *combine(report->offset);
        const auto lines = judge(*plan, plan->fixture.equipment, run.seen).lines;
        const auto line = std::find_if(lines.begin(), lines.end(), [](const auto& l) {
            return l.channel == 3 && l.frequency == 0;
        });
        ASSERT_NE(line, lines.end());
        EXPECT_NEAR(gain.standard / line->gain_standard, 1.0, 1e-12);
        EXPECT_NEAR(offset.standard / line->offset_standard, 1.0, 1e-12);
        EXPECT_NEAR(gain.expanded / line->gain_expanded, 1.0, 1e-9);
        EXPECT_NEAR(offset.expanded / line->offset_expanded, 1.0, 1e-9);
        const auto& trials = *report->trials;
        EXPECT_NEAR((trials.gain.high - trials.gain.low) / (2.0 * gain.expanded), 1.0, 0.03);
        const std::string text = text_of(*report);
        EXPECT_EQ(text.find("lack of fit (Birge)") != std::string::npos, disagree) << text;
        EXPECT_EQ(text.find("all variances are multiplied by") != std::string::npos, disagree);
    }
}

TEST(LineReport, StatesNoUncertaintyFromReadingsThatSayNothingOfTheirScatter) {
    const language::PlanPtr plan = test_support::demo_plan();
    int stated = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        metrology_test::SimulatedRun run(*plan, {.noise = 20.0, .correlation = 0.6}, seed);
        run.gain_and_offset(4);
        for (const auto& line : judge(*plan, plan->fixture.equipment, run.seen).lines) {
            ++stated;
            // 4.303 for two degrees, GUM Table G.2.
            EXPECT_LE(line.gain_expanded, 4.3027 * line.gain_standard);
            EXPECT_LT(line.gain_expanded, std::abs(line.gain)) << seed;
        }
    }
    EXPECT_GT(stated, 0);
}

// C0G is 0 +- 30 ppm/K (EIA-198, class 1): no correction, and 30 ppm/K / sqrt(3) of doubt for every
// kelvin off the characterisation (JCGM 100 4.3.7).
TEST(Tips, ACoefficientThatIsATolerancePutsItsDoubtOnEveryKelvin) {
    language::Plan plan = *test_support::demo_plan();
    auto& equipment = plan.fixture.equipment;
    equipment.temperature_coefficient = PartsPerMillionPerKelvin(0.0);
    equipment.temperature_coefficient_half_width = PartsPerMillionPerKelvin(30.0);
    metrology_test::SimulatedRun run(plan, {}, 5);
    run.gain_and_offset();
    ASSERT_FALSE(run.seen.climate.empty());
    for (auto& read : run.seen.climate) read.temperature = equipment.temperature + Celsius(10.0);
    const double kelvin = 0.5 * plan.fixture.climate->temperature_expanded_uncertainty.value();
    const std::string& name = equipment.steps.front().reference;
    const Tips tips(plan.fixture, equipment, run.seen, plan.map.channels);
    const TipStep* step = tips.step(equipment.steps.front().channel, name);
    ASSERT_NE(step, nullptr);
    const double value = equipment.steps.front().value.value();
    EXPECT_EQ(step->value, value) << "a tolerance corrects nothing";
    EXPECT_NEAR(step->temperature,
                value * 30e-6 / std::sqrt(3.0) * std::sqrt(100.0 + kelvin * kelvin), 1e-12);
}

}  // namespace
}  // namespace padtrim::metrology
