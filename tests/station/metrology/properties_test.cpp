// Decisions, budgets and touch figures under shifts, scales and orders; bad input named. No
// outside source.
#include <cmath>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "db/statistics/distributions.hpp"
#include "station/metrology/approach.hpp"
#include "station/metrology/budget.hpp"
#include "station/metrology/channel_line.hpp"
#include "station/metrology/conformity.hpp"
#include "station/metrology/disturbance.hpp"
#include "station/metrology/electrode.hpp"
#include "station/metrology/risk.hpp"
#include "station/metrology/sequential_limit.hpp"

namespace padtrim::metrology {
namespace {

using statistics::Flaw;

const double nan_value = std::nan("");
constexpr double infinite = std::numeric_limits<double>::infinity();

TEST(DecisionProperties, ShiftAndScaleLeaveMarginAndVerdict) {
    std::mt19937_64 engine(1);
    std::uniform_real_distribution<double> value(-3.0, 3.0), doubt(0.01, 1.0);
    for (int t = 0; t < 500; ++t) {
        const Measured m{value(engine), doubt(engine), 12.0};
        const Limits limits{-1.5, 2.0};
        const language::DecisionRule rule;
        const auto before = decide(m, 2.18, limits, rule);
        const double a = 100.0, b = 4.0;
        const auto after =
            decide({a + b * m.value, b * m.standard, 12.0}, 2.18, {a - b * 1.5, a + b * 2.0}, rule);
        EXPECT_NEAR(after.margin, before.margin, 1e-10);
        EXPECT_EQ(after.verdict, before.verdict);
        // Mirrored: limits change places.
        const auto mirrored = decide({-m.value, m.standard, 12.0}, 2.18, {-2.0, 1.5}, rule);
        EXPECT_NEAR(mirrored.margin, before.margin, 1e-12);
        EXPECT_EQ(mirrored.verdict, before.verdict);
    }
}

TEST(DecisionProperties, WhatIsNoNumberIsNoVerdict) {
    const Limits limits{0.0, 1.0};
    for (const double bad : {nan_value, infinite}) {
        EXPECT_EQ(decide({bad, 0.1}, 2.0, limits, {}).verdict, record::Verdict::no_verdict) << bad;
        EXPECT_EQ(decide({0.5, bad}, 2.0, limits, {}).verdict, record::Verdict::no_verdict) << bad;
        EXPECT_EQ(decide({0.5, bad}, 2.0, limits, {}).flaw, Flaw::not_finite) << bad;
        EXPECT_EQ(conformance_probability({bad, 0.1}, limits).error(), Flaw::not_finite);
        EXPECT_EQ(conformance_probability({0.5, bad}, limits).error(), Flaw::not_finite);
    }
}

TEST(DecisionProperties, EveryArgumentOutsideItsDomainIsNamedAndNoVerdict) {
    const Limits limits{0.0, 1.0};
    struct Bad {
        Measured measured;
        double factor;
        Limits limits;
        double risk;
        Flaw flaw;
    };
    const std::vector<Bad> all{
        {{0.5, 0.1}, nan_value, limits, 0.025, Flaw::not_finite},
        {{0.5, 0.1}, infinite, limits, 0.025, Flaw::not_finite},
        {{0.5, 0.1}, 0.0, limits, 0.025, Flaw::not_positive},
        {{0.5, 0.1}, -2.0, limits, 0.025, Flaw::not_positive},
        {{0.5, -0.1}, 2.0, limits, 0.025, Flaw::not_positive},
        {{0.5, 0.1, nan_value}, 2.0, limits, 0.025, Flaw::out_of_domain},
        {{0.5, 0.1, 0.0}, 2.0, limits, 0.025, Flaw::out_of_domain},
        {{0.5, 0.1, 1.9}, 2.0, limits, 0.025, Flaw::too_few_points},
        {{0.5, 0.1}, 2.0, {nan_value, 1.0}, 0.025, Flaw::not_finite},
        {{0.5, 0.1}, 2.0, {0.0, nan_value}, 0.025, Flaw::not_finite},
        {{0.5, 0.1}, 2.0, {0.0, infinite}, 0.025, Flaw::not_finite},
        {{0.5, 0.1}, 2.0, {1.0, 0.0}, 0.025, Flaw::empty_interval},
        {{0.5, 0.1}, 2.0, limits, nan_value, Flaw::out_of_domain},
        {{0.5, 0.1}, 2.0, limits, 0.0, Flaw::out_of_domain},
    };
    for (const Bad& bad : all) {
        const auto decided = decide(bad.measured, bad.factor, bad.limits,
                                    {language::DecisionKind::guarded, bad.risk});
        EXPECT_EQ(decided.verdict, record::Verdict::no_verdict) << &bad - all.data();
        EXPECT_EQ(decided.flaw, bad.flaw) << &bad - all.data();
        EXPECT_EQ(decided.margin, 0.0);
    }
}

// Between two limits as between one, with as few degrees as are judged: accepted exactly where the
// probability beyond the limits is the stated risk (JCGM 106 8.3.2).
TEST(DecisionProperties, TheGuardedRuleKeepsItsRiskForFewDegreesToo) {
    const language::DecisionRule rule;
    for (const double degrees : {2.0, 3.0, 5.0, 30.0}) {
        const double k = *statistics::coverage_factor(0.95, degrees);
        for (const double width : {9.0, 15.9, 16.1, 40.0, 1000.0}) {
            const Limits limits{0.0, width};
            for (double value = 0.05; value < width / 2.0; value += 0.05) {
                const Measured m{value, 1.0, degrees};
                const bool passes = decide(m, k, limits, rule).verdict == record::Verdict::pass;
                const double inside = *conformance_probability(m, limits);
                if (std::abs(inside - 0.975) < 1e-9) continue;
                EXPECT_EQ(passes, inside > 0.975) << degrees << " " << width << " " << value;
                if (passes && value > 12.0) break;
            }
        }
    }
}

TEST(RiskProperties, AnEmptyIntervalIsNamed) {
    EXPECT_EQ(guarded_limits({0.0, 1.0}, 0.6).error(), Flaw::empty_interval);
    EXPECT_EQ(SequentialLimit::of({}, {2.0, 1.0}, 1.0).error(), Flaw::empty_interval);
    EXPECT_EQ(SequentialLimit::of({}, {0.0, 1.0}, nan_value).error(), Flaw::not_finite);
}

// The usual risk has a way of its own off the guard band: the same verdict as that of a risk next
// to it, which has none, for wide limits and narrow ones, one and two.
TEST(DecisionProperties, ClearOfTheGuardBandTheUsualRiskDecidesLikeItsNeighbours) {
    std::mt19937_64 engine(26);
    std::uniform_real_distribution<double> bands(-1.6, 2.5), degrees(2.0, 80.0), width(0.5, 200.0);
    int by_either = 0;
    for (int t = 0; t < 20'000; ++t) {
        const double d = t % 5 == 0 ? infinite : degrees(engine);
        const double k = *statistics::coverage_factor(0.95, d);
        const Measured m{100.0 + bands(engine) * k * 0.5, 0.5, d};
        Limits limits;
        limits.low = 100.0;
        if (t % 2 == 0) limits.high = 100.0 + width(engine);
        const auto at = [&](double risk) {
            return decide(m, k, limits, {language::DecisionKind::guarded, risk}).verdict;
        };
        const auto verdict = at(0.025), stricter = at(0.025 - 1e-6), laxer = at(0.025 + 1e-6);
        EXPECT_TRUE(verdict == stricter || verdict == laxer) << m.value << ", " << d;
        if (stricter == laxer) ++by_either;
    }
    EXPECT_GT(by_either, 19'900);
}

// JCGM 100 G.4.1: the formula of Welch and Satterthwaite is for independent terms.
TEST(BudgetProperties, CorrelatedTermsCountOnceForTheDegrees) {
    Budget budget{
        "x", "mm", 1.0, {{"a", 1.0, 1.0, 5.0, {}}, {"b", 1.0, 1.0, 5.0, {}}}, {{0, 1, 1.0}}};
    EXPECT_NEAR(combine(budget)->degrees, 5.0, 1e-12) << "the same error twice";
    EXPECT_NEAR(combine(budget)->standard, 2.0, 1e-15);
    budget.correlations[0].coefficient = 0.0;
    EXPECT_NEAR(combine(budget)->degrees, 10.0, 1e-12) << "two of five degrees each";
    budget.terms.push_back({"c", 1.0, 1.0, infinite, {}});
    budget.correlations = {{0, 1, 0.5}, {1, 2, 0.5}};
    // One part of variance 3 + 2 (0.5 + 0.5) = 5, all of it.
    EXPECT_NEAR(combine(budget)->degrees, 5.0, 1e-12);
    budget.correlations = {{0, 1, 0.5}, {1, 0, 0.5}};
    EXPECT_EQ(combine(budget).error(), Flaw::out_of_domain) << "told twice";
    budget.correlations = {{1, 1, 0.5}};
    EXPECT_EQ(combine(budget).error(), Flaw::out_of_domain) << "with itself";
    budget.correlations = {};
    budget.terms[0].standard = -1.0;
    EXPECT_EQ(combine(budget).error(), Flaw::not_positive);
    budget.terms[0] = {"a", 9.0, 1.0, 0.5, {}};
    EXPECT_EQ(combine(budget).error(), Flaw::too_few_points);
}

TEST(LineProperties, WhatIsNoNumberIsNamedWhereverItStands) {
    const TipStep one{1.0, 1e-4, 1e-4, 1e-4, 1e-4}, two{2.0, 1e-4, 1e-4, 1e-4, 1e-4};
    const std::vector<LinePoint> good{{100.0, 0.1, 0.0, nullptr},
                                      {500.0, 0.1, 1.0, &one},
                                      {100.2, 0.1, 2.0, nullptr},
                                      {900.1, 0.1, 3.0, &two},
                                      {100.1, 0.1, 4.0, nullptr}};
    LineProblem problem;
    const auto fits = [&](const std::vector<LinePoint>& points, double rounding, double degrees,
                          TipPart part) {
        problem.what.clear();
        const bool fitted = fit_line({points, rounding, degrees, part}, problem).has_value();
        EXPECT_NE(fitted, !problem.what.empty());
        return fitted;
    };
    ASSERT_TRUE(fits(good, 0.01, 20.0, {0.1, 0.01})) << problem.what;
    for (const double bad : {nan_value, infinite, -infinite}) {
        EXPECT_FALSE(fits(good, bad, 20.0, {0.1, 0.01}));
        EXPECT_FALSE(fits(good, 0.01, 20.0, {bad, 0.01}));
        EXPECT_FALSE(fits(good, 0.01, 20.0, {0.1, bad}));
        for (double LinePoint::*member : {&LinePoint::mean, &LinePoint::variance, &LinePoint::at}) {
            auto points = good;
            points[2].*member = bad;
            EXPECT_FALSE(fits(points, 0.01, 20.0, {0.1, 0.01}));
        }
        for (double TipStep::*member :
             {&TipStep::value, &TipStep::independent, &TipStep::common, &TipStep::temperature}) {
            TipStep step = one;
            step.*member = bad;
            auto points = good;
            points[1].step = &step;
            EXPECT_FALSE(fits(points, 0.01, 20.0, {0.1, 0.01}));
        }
    }
    for (const double degrees : {nan_value, 0.0, -1.0, 0.3}) {
        EXPECT_FALSE(fits(good, 0.0, degrees, {0.1, 0.0})) << degrees;
        EXPECT_NE(problem.what.find("take more scans"), std::string::npos);
    }
}

TEST(SequentialProperties, NothingIsDecidedBeyondThePlan) {
    const auto rule = *SequentialLimit::of({}, {0.0, std::nullopt}, 1.0);
    const std::size_t most = SequentialPlan{}.most_readings();
    EXPECT_EQ(rule.after(most, 100.0), LimitDecision::inside);
    EXPECT_EQ(rule.after(most + 16, 100.0), LimitDecision::undetermined);
    EXPECT_EQ(rule.after(most, nan_value), LimitDecision::undetermined);
}

TEST(BudgetProperties, ScalesWithItsTermsAndForgetsTheirOrder) {
    Budget budget{"x", "mm", 1.0, {{"a", 0.3, 2.0, 9.0, {}}, {"b", 0.5, 1.0, 30.0, {}}}, {}};
    const auto before = *combine(budget);
    std::swap(budget.terms[0], budget.terms[1]);
    EXPECT_NEAR(combine(budget)->expanded, before.expanded, 1e-15);
    for (auto& term : budget.terms) term.standard *= 10.0;
    const auto after = *combine(budget);
    EXPECT_NEAR(after.expanded, 10.0 * before.expanded, 1e-12);
    EXPECT_NEAR(after.degrees, before.degrees, 1e-9);
    EXPECT_NEAR(after.shares[1], before.shares[0], 1e-9);
    for (const double bad : {nan_value, infinite}) {
        budget.terms[0].standard = bad;
        EXPECT_EQ(combine(budget).error(), Flaw::not_finite);
    }
}

TEST(FrequencyProperties, ScaleLeavesScoresAndOrderOnlyMovesThem) {
    std::vector<FrequencyChange> changes{{1.0, 0.02}, {1.01, 0.01}, {1.2, 0.03}, {0.99, 0.02}};
    const auto before = *odd_frequency(changes, 0.01);
    auto scaled = changes;
    for (auto& c : scaled) c = {3.0 * c.change, 3.0 * c.standard};
    std::swap(scaled[0], scaled[2]);
    const auto after = *odd_frequency(scaled, 0.01);
    EXPECT_NEAR(after.score[0], before.score[2], 1e-10);
    EXPECT_NEAR(after.score[1], before.score[1], 1e-10);
    EXPECT_EQ(after.odd, 0U);
    for (const double bad : {nan_value, infinite}) {
        changes[1].change = bad;
        EXPECT_EQ(odd_frequency(changes, 0.01).error(), Flaw::not_finite);
    }
    EXPECT_EQ(odd_frequency({}, 0.01).error(), Flaw::too_few_points);
}

std::vector<PositionReading> bent(double shift, double scale) {
    std::vector<PositionReading> readings;
    for (int i = 0; i <= 12; ++i) {
        const double x = 5.0 * i;
        readings.push_back({x, shift + scale * (x + 0.3 * std::sin(x))});
    }
    return readings;
}

TEST(PositionProperties, NonLinearityIsOfTheSpanWhateverTheScaleAndTheOffset) {
    const auto plain = *position_linearity(bent(0.0, 1.0));
    const auto moved = *position_linearity(bent(17.0, 1.0));
    EXPECT_NEAR(moved.non_linearity, plain.non_linearity, 1e-10);
    EXPECT_NEAR(moved.offset, plain.offset + 17.0, 1e-10);
    const auto twice = *position_linearity(bent(0.0, 2.0));
    EXPECT_NEAR(twice.slope, 2.0 * plain.slope, 1e-12);
    EXPECT_NEAR(twice.largest, 2.0 * plain.largest, 1e-10);
    auto bad = bent(0.0, 1.0);
    bad[4].reported = nan_value;
    EXPECT_EQ(position_linearity(bad).error(), Flaw::not_finite);
}

TEST(ElectrodeProperties, WhatIsNoNumberIsNamed) {
    for (const double bad : {nan_value, infinite}) {
        EXPECT_EQ(settling_of(Ohm(bad), Picofarad(1.0), Kilohertz(1.0), 1e-3).error(),
                  Flaw::not_finite);
        EXPECT_EQ(settling_of(Ohm(1.0), Picofarad(bad), Kilohertz(1.0), 1e-3).error(),
                  Flaw::not_finite);
        EXPECT_EQ(open_short_corrected({1.0, bad}, {5.0, 0.0}, {0.1, 0.0}).error(),
                  Flaw::not_finite);
    }
    std::vector<TimedReport> reports{{Millisecond(nan_value), false}, {Millisecond(5.0), true}};
    EXPECT_FALSE(response_time(Millisecond(0.0), reports).has_value());
}

TEST(RiskProperties, WhatIsNoNumberIsNamed) {
    const auto process = normal_process(0.0, 1.0);
    const Limits both{-2.0, 2.0};
    for (const Limits& bad : {Limits{nan_value, 1.0}, Limits{0.0, nan_value}}) {
        EXPECT_EQ(global_risk(process, 0.3, bad, both).error(), Flaw::not_finite);
        EXPECT_EQ(global_risk(process, 0.3, both, bad).error(), Flaw::not_finite);
        EXPECT_EQ(guarded_limits(bad, 0.1).error(), Flaw::not_finite);
        EXPECT_EQ(guard_band_for(process, 0.3, bad, 0.01).error(), Flaw::not_finite);
    }
    EXPECT_EQ(global_risk(normal_process(nan_value, 1.0), 0.3, both, both).error(),
              Flaw::not_finite);
    for (const double risk : {nan_value, 0.0, 1.0, -0.1}) {
        EXPECT_EQ(guard_band_for(process, 0.3, both, risk).error(), Flaw::out_of_domain);
    }
    EXPECT_EQ(settling_of(Ohm(-1.0), Picofarad(1.0), Kilohertz(1.0), 1e-3).error(),
              Flaw::not_positive);
    EXPECT_EQ(settling_of(Ohm(1.0), Picofarad(-1.0), Kilohertz(1.0), 1e-3).error(),
              Flaw::not_positive);
}

}  // namespace
}  // namespace padtrim::metrology
