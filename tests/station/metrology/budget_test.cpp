#include "station/metrology/budget.hpp"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"
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
    // The first is wholly like the second and the third, which are opposites: no inputs are.
    Budget impossible = two_terms(1.0, 1.0, 1.0);
    impossible.terms.push_back(impossible.terms[1]);
    impossible.correlations.push_back({0, 2, 1.0});
    impossible.correlations.push_back({1, 2, -1.0});
    EXPECT_EQ(combine(impossible).error(), Flaw::out_of_domain);
    impossible.correlations.back().coefficient = 1.0;
    EXPECT_NEAR(combine(impossible)->standard, 3.0, 1e-9) << "three that are alike add up";
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

CombinedUncertainty stated(double standard) {
    Budget budget{"x", "1", 0.0, {{"all", standard}}, {}};
    return *combine(budget);
}

// JCGM 101 9.2.2 (four normal inputs) and 9.2.4 (rectangular ones, one of ten times the deviation:
// +-19.9 by the law of propagation, +-17.0 by trials, 0.5 allowed). Values from memory.
TEST(GumCheck, ValidatesTheLawOfPropagationWhereItHolds) {
    const auto sum = [](std::span<const double> x) { return x[0] + x[1] + x[2] + x[3]; };
    const std::vector<InputDistribution> normal(4, {InputShape::normal, 0.0, 1.0, 0.0});
    const auto like = *compare(0.0, stated(2.0), *propagate(sum, normal, 1000000, 0.95, 1));
    EXPECT_EQ(like.delta, 0.05);
    EXPECT_EQ(like.agreement, Agreement::agrees);
    auto flat =
        std::vector<InputDistribution>(4, {InputShape::rectangular, 0.0, std::sqrt(3.0), 0.0});
    flat[3].scale *= 10.0;
    const auto trials = *propagate(sum, flat, 100000, 0.95, 1);
    EXPECT_NEAR(trials.high, 17.0, 0.2);
    const auto unlike = *compare(0.0, stated(std::sqrt(103.0)), trials);
    EXPECT_EQ(unlike.delta, 0.5);
    EXPECT_NEAR(unlike.high_off, 2.8, 0.2);
    EXPECT_EQ(unlike.agreement, Agreement::differs);
    // A thousand trials leave the ends of a good interval in doubt by more than is allowed.
    const auto few = *compare(0.0, stated(2.0), *propagate(sum, normal, 1000, 0.95, 1));
    EXPECT_EQ(few.agreement, Agreement::too_few_trials);
    EXPECT_GT(few.doubt, few.delta);
    EXPECT_EQ(compare(0.0, stated(0.0), trials).error(), Flaw::not_positive);
    EXPECT_EQ(compare(NAN, stated(1.0), trials).error(), Flaw::not_finite);
}

// What a term says of an input is what the fit does when that input is changed (JCGM 100 5.1.4).
TEST(LineReport, StatesTheSensitivityThatTheFitShows) {
    language::Plan plan = *test_support::demo_plan();
    auto& equipment = plan.fixture.equipment;
    metrology_test::SimulatedRun run(plan, {.noise = 0.5}, 5);
    run.gain_and_offset();
    const auto before = line_report(plan, equipment, run.seen, 3, 0);
    ASSERT_TRUE(before.has_value());
    const auto gain_to = [](const LineReport& report, const std::string& name) {
        for (const BudgetTerm& term : report.gain.terms)
            if (term.name == name) return term.sensitivity;
        return std::nan("");
    };
    const auto offset_to = [](const LineReport& report, const std::string& name) {
        for (const BudgetTerm& term : report.offset.terms)
            if (term.name == name) return term.sensitivity;
        return std::nan("");
    };
    const double little = 1e-5;
    for (auto& step : equipment.steps) {
        if (step.channel != 3 || step.nest != 1 || step.reference == "R5") continue;
        step.value += Picofarad(little);
        const auto after = line_report(plan, equipment, run.seen, 3, 0);
        step.value -= Picofarad(little);
        const std::string name = step.reference + "'s own error";
        const double of_gain = (after->gain.value - before->gain.value) / little;
        const double of_offset = (after->offset.value - before->offset.value) / little;
        EXPECT_NEAR(gain_to(*before, name), of_gain, 0.02 * std::abs(of_gain)) << name;
        EXPECT_NEAR(offset_to(*before, name), of_offset, 0.02 * std::abs(of_offset) + 0.1) << name;
    }
    for (auto& step : equipment.steps) step.value = step.value * (1.0 + little);
    const auto larger = line_report(plan, equipment, run.seen, 3, 0);
    for (auto& step : equipment.steps) step.value = step.value * (1.0 / (1.0 + little));
    const double of_all = (larger->gain.value - before->gain.value) / little;
    EXPECT_NEAR(gain_to(*before, "meter common to all references"), of_all,
                0.01 * std::abs(of_all));
    for (auto& part : equipment.fixture_parts) part.value += Picofarad(little);
    const auto heavier = line_report(plan, equipment, run.seen, 3, 0);
    EXPECT_NEAR(offset_to(*before, "the fixture's part"),
                (heavier->offset.value - before->offset.value) / little, 1.0);
}

TEST(LineReport, NamesCertificateExpandedUncertaintyAndCoverageFactor) {
    language::Plan plan = *test_support::demo_plan();
    plan.fixture.equipment.flexing = Picofarad(0.02);
    metrology_test::SimulatedRun run(plan, {}, 5);
    run.gain_and_offset();
    const auto report = line_report(plan, plan.fixture.equipment, run.seen, 3, 0);
    ASSERT_TRUE(report.has_value());
    const std::string text = text_of(*report);
    EXPECT_THAT(text, HasSubstr("the profile states none (definition_relative)"));
    EXPECT_THAT(text, HasSubstr("lack of fit: chi-squared"));
    EXPECT_NEAR(report->significance,
                1.0 - *statistics::chi_squared_probability(report->chi_squared, 6.0), 1e-12);
    EXPECT_THAT(text, HasSubstr("demo 1 of 2026-01-15: U = 0.007 pF, k = 2"));
    EXPECT_THAT(text, HasSubstr("demo 1 of 2026-01-15: U = 0.01 pF, k = 2"));
    EXPECT_THAT(text, HasSubstr("read: "));
    EXPECT_THAT(text, HasSubstr("stated by the profile: +-0.02 pF"));
    for (const char* word : {"rectangular", "normal", "sensitivity", "value"})
        EXPECT_THAT(text, HasSubstr(word));
}

// Flexing (rectangular, JCGM 100 4.3.7) is in the judged offset and gain as in the trials.
TEST(LineReport, CarriesTheFlexingThatTheProfileStates) {
    language::Plan plan = *test_support::demo_plan();
    metrology_test::SimulatedRun run(plan, {}, 5);
    run.gain_and_offset();
    const auto without = line_report(plan, plan.fixture.equipment, run.seen, 3, 0);
    plan.fixture.equipment.flexing = Picofarad(0.03);
    const auto with = line_report(plan, plan.fixture.equipment, run.seen, 3, 0, 20000);
    ASSERT_TRUE(without && with);
    const double flexed = 400.0 * 0.03 / std::sqrt(3.0);
    EXPECT_GT(combine(with->offset)->standard,
              std::hypot(0.98 * flexed, combine(without->offset)->standard));
    EXPECT_GT(combine(with->gain)->standard, 1.2 * combine(without->gain)->standard);
    EXPECT_NEAR(with->trials->offset.standard / combine(with->offset)->standard, 1.0, 0.03);
    EXPECT_NEAR(with->trials->gain.standard / combine(with->gain)->standard, 1.0, 0.03);
}

// One result, one uncertainty, also beside the line.
TEST(CheckBudgets, StateTheUncertaintyThatTheJudgeStates) {
    language::Plan plan = *test_support::demo_plan();
    plan.fixture.equipment.flexing = Picofarad(0.01);
    metrology_test::SimulatedRun run(plan, {}, 5);
    run.measure();
    const auto trims = propose_trims(plan, plan.fixture.equipment, run.seen);
    ASSERT_TRUE(trims.has_value());
    run.write_trims(trims->gain, trims->offset);
    run.power_cycle();
    run.verify();
    const auto result = judge(plan, plan.fixture.equipment, run.seen);
    const auto budgets = check_budgets(plan, plan.fixture.equipment, run.seen);
    // Two errors of eight channels; a response of eight keys at two frequencies.
    ASSERT_EQ(budgets.size(), 2U * 8U + 8U * 2U);
    for (const CheckBudget& one : budgets) {
        const auto same = std::find_if(
            result.checks.begin(), result.checks.end(), [&](const record::CheckResult& check) {
                return check.check == one.budget.quantity && check.channel == one.channel &&
                       check.frequency == one.frequency;
            });
        ASSERT_NE(same, result.checks.end()) << one.budget.quantity;
        const auto combined = combine(one.budget);
        ASSERT_TRUE(combined) << one.budget.quantity;
        EXPECT_NEAR(one.budget.value, same->value, 1e-12 * std::abs(same->value));
        EXPECT_NEAR(combined->standard / same->standard_uncertainty, 1.0, 1e-12);
        EXPECT_NEAR(combined->degrees / same->degrees_of_freedom, 1.0, 1e-9);
        EXPECT_NEAR(combined->expanded / same->expanded_uncertainty, 1.0, 1e-6);
        EXPECT_GE(one.budget.terms.size(), 2U);
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
