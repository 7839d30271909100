#include "station/metrology/conformity.hpp"

#include <cmath>
#include <map>
#include <random>
#include <string_view>

#include <gtest/gtest.h>

#include "station/metrology/risk.hpp"

namespace padtrim::metrology {
namespace {

using language::DecisionKind;
using language::DecisionRule;
using record::Verdict;

constexpr DecisionRule guarded{DecisionKind::guarded, 0.025};
constexpr DecisionRule simple{DecisionKind::simple, 0.025};
constexpr double k = 1.9599639845400542;
const Limits both{-10.0, 10.0};

TEST(Decide, MarginIsZeroOnTheLimitAndOneAtTheGuardBand) {
    EXPECT_NEAR(decide({10.0, 1.0}, k, both, guarded).margin, 0.0, 1e-15);
    EXPECT_NEAR(decide({10.0 - k, 1.0}, k, both, guarded).margin, 1.0, 1e-12);
    EXPECT_NEAR(decide({-10.0 - k, 1.0}, k, both, guarded).margin, -1.0, 1e-12);
}

TEST(Decide, GuardedNeedsProofEitherWay) {
    EXPECT_EQ(decide({7.9, 1.0}, k, both, guarded).verdict, Verdict::pass);
    EXPECT_EQ(decide({8.1, 1.0}, k, both, guarded).verdict, Verdict::inconclusive);
    EXPECT_EQ(decide({11.9, 1.0}, k, both, guarded).verdict, Verdict::inconclusive);
    EXPECT_EQ(decide({12.1, 1.0}, k, both, guarded).verdict, Verdict::fail);
}

TEST(Decide, SimpleAcceptsTheLimitItself) {
    EXPECT_EQ(decide({10.0, 1.0}, k, both, simple).verdict, Verdict::pass);
    EXPECT_EQ(decide({10.0001, 1.0}, k, both, simple).verdict, Verdict::fail);
}

TEST(Decide, OtherRisksMoveTheGuardBand) {
    // One-sided factor of 5 %: 1.644853627 (JCGM 106 Table 1, normal quantile).
    const DecisionRule five{DecisionKind::guarded, 0.05};
    EXPECT_EQ(decide({10.0 - 1.6449, 1.0}, k, both, five).verdict, Verdict::pass);
    EXPECT_EQ(decide({10.0 - 1.6448, 1.0}, k, both, five).verdict, Verdict::inconclusive);
}

TEST(Decide, AnIntervalAsNarrowAsTheDoubtNeverPasses) {
    const Limits narrow{-1.0, 1.0};
    EXPECT_EQ(decide({0.0, 1.0}, k, narrow, guarded).verdict, Verdict::inconclusive);
    EXPECT_EQ(decide({0.0, 50.0}, k, narrow, guarded).verdict, Verdict::inconclusive);
    EXPECT_EQ(decide({6.0, 1.0}, k, narrow, guarded).verdict, Verdict::fail);
    // Both tails count: 2 u to each limit leave 4.6 % outside (JCGM 106 7.4).
    const Limits two{-2.0, 2.0};
    EXPECT_NEAR(1.0 - *conformance_probability({0.0, 1.0}, two), 0.045500263896, 1e-11);
    EXPECT_EQ(decide({0.0, 1.0}, k, two, guarded).verdict, Verdict::inconclusive);
}

TEST(Decide, WithoutDoubtTheLimitDecides) {
    EXPECT_EQ(decide({10.0, 0.0}, k, both, guarded).verdict, Verdict::pass);
    EXPECT_EQ(decide({10.1, 0.0}, k, both, guarded).verdict, Verdict::fail);
    EXPECT_EQ(*conformance_probability({10.1, 0.0}, both), 0.0);
}

TEST(Decide, GivesNoVerdictOnWhatIsNotANumber) {
    EXPECT_EQ(decide({NAN, 1.0}, k, both, guarded).verdict, Verdict::no_verdict);
    EXPECT_EQ(decide({1.0, NAN}, k, both, guarded).verdict, Verdict::no_verdict);
}

// Table values of chi-squared, NIST/SEMATECH e-Handbook 1.3.6.7.4: 9 degrees, 0.025 and 0.975.
TEST(DecideScatter, GoesByChiSquaredOnEitherSide) {
    constexpr double v = 9.0, low_chi = 2.700, high_chi = 19.023;
    const auto at = [](double s, Limits limits, DecisionRule rule = guarded) {
        return decide_scatter({s, s / std::sqrt(2.0 * v), v}, limits, rule);
    };
    const double passes = std::sqrt(low_chi / v), fails = std::sqrt(high_chi / v);
    const Limits most{{}, 1.0};
    EXPECT_EQ(at(passes * 0.999, most).verdict, Verdict::pass);
    EXPECT_EQ(at(passes * 1.001, most).verdict, Verdict::inconclusive);
    EXPECT_EQ(at(fails * 0.999, most).verdict, Verdict::inconclusive);
    EXPECT_EQ(at(fails * 1.001, most).verdict, Verdict::fail);
    EXPECT_NEAR(at(passes, most).margin, 1.0, 2e-3);
    EXPECT_NEAR(at(fails, most).margin, -1.0, 2e-3);
    const Limits least{1.0, {}};
    EXPECT_EQ(at(fails * 1.001, least).verdict, Verdict::pass);
    EXPECT_EQ(at(passes * 0.999, least).verdict, Verdict::fail);
    // Another risk has a band of its own: 0.10 at 9 degrees is 4.168.
    const DecisionRule ten{DecisionKind::guarded, 0.1};
    EXPECT_EQ(at(std::sqrt(4.168 / v) * 0.999, most, ten).verdict, Verdict::pass);
    EXPECT_EQ(at(std::sqrt(4.168 / v) * 1.001, most, ten).verdict, Verdict::inconclusive);
    EXPECT_EQ(at(1.001, most, simple).verdict, Verdict::fail);
    EXPECT_EQ(decide_scatter({1.0, 0.0, v}, most, guarded).flaw, statistics::Flaw::out_of_domain);
}

TEST(Decide, LimitsCloserThanTheDoubtFailOnlyWhatLiesBeyondTheBand) {
    const Limits narrow{-0.02, 0.02};
    EXPECT_EQ(decide({0.03, 1.0}, k, narrow, guarded).verdict, Verdict::inconclusive);
    EXPECT_EQ(decide({1.99, 1.0}, k, narrow, guarded).verdict, Verdict::fail);
}

// A step's declaration says how its checks are decided, the same in every step that yields them.
TEST(DecideCheck, GoesByWhatTheDeclarationSaysOfTheDoubt) {
    std::map<std::string_view, language::Doubt> seen;
    for (const auto& step : language::step_declarations()) {
        for (const auto& check : step.checks) {
            const auto [place, fresh] = seen.try_emplace(check.name, check.doubt);
            EXPECT_EQ(place->second, check.doubt) << check.name;
            EXPECT_EQ(language::doubt_of(check.name), check.doubt) << check.name;
        }
    }
    EXPECT_EQ(seen.at("noise"), language::Doubt::of_scatter);
    EXPECT_EQ(seen.at("gain"), language::Doubt::in_proportion);
    EXPECT_EQ(seen.at("offset"), language::Doubt::of_value);
    const Measured m{9.0, 0.9, 20.0};
    const Limits most{{}, 10.0};
    const language::DecisionRule rule;
    EXPECT_EQ(decide_check(language::doubt_of("noise"), m, 2.1, most, rule).margin,
              decide_scatter(m, most, rule).margin);
    EXPECT_EQ(decide_check(language::doubt_of("offset"), m, 2.1, most, rule).margin,
              decide(m, 2.1, most, rule).margin);
    EXPECT_EQ(decide_check(language::doubt_of("gain"), m, 2.1, most, rule).margin,
              decide(m, 2.1, most, rule, language::Doubt::in_proportion).margin);
}

// A gauge that is wrong by a part of what it shows, or by the same everywhere, on units exactly on
// a limit: accepted no more often than the stated risk, and what is beyond by nothing refused no
// more often either. Beside it, a doubt taken at the value alone accepts 2.97 % at a stated 2.5 %:
// Phi(-k / (1 + k r)).
TEST(Decide, InProportionKeepsItsRiskOnEitherLimit) {
    std::mt19937_64 engine(8);
    std::normal_distribution<double> normal;
    constexpr double limit = 100.0, part = 0.02, factor = 1.959963984540054;
    constexpr int trials = 200'000;
    const language::DecisionRule rule;
    const double most = 0.025 * trials + 4.0 * std::sqrt(0.025 * trials);
    for (const bool upper : {true, false}) {
        const Limits limits = upper ? Limits{{}, limit} : Limits{limit, {}};
        for (const bool proportional : {true, false}) {
            int accepted = 0, refused = 0, at_value = 0;
            for (int t = 0; t < trials; ++t) {
                const double shown = limit * (1.0 + part * normal(engine));
                const Measured m{shown, part * (proportional ? shown : limit)};
                const auto verdict =
                    decide(m, factor, limits, rule, language::Doubt::in_proportion).verdict;
                accepted += verdict == record::Verdict::pass ? 1 : 0;
                refused += verdict == record::Verdict::fail ? 1 : 0;
                at_value +=
                    decide(m, factor, limits, rule).verdict == record::Verdict::pass ? 1 : 0;
            }
            EXPECT_LE(accepted, most) << upper << proportional;
            EXPECT_LE(refused, most) << upper << proportional;
            EXPECT_GE(accepted, 0.019 * trials) << "no more strict than it need be";
            if (upper && proportional) {
                EXPECT_NEAR(at_value, 0.0297 * trials, 4.0 * std::sqrt(0.0297 * trials));
            }
        }
    }
}

TEST(RuleOf, SharesTheRiskOutAmongTheTries) {
    language::Recipe recipe;
    recipe.steps.resize(2);
    recipe.steps[0].name = "noise";
    recipe.steps[1].name = "touch";
    recipe.steps[1].retries = 4;
    EXPECT_EQ(rule_of(recipe, "noise").consumer_risk, 0.025);
    EXPECT_EQ(rule_of(recipe, "touch").consumer_risk, 0.005);
}

TEST(LimitsOfMagnitude, DropALowerLimitThatCannotBeMissed) {
    EXPECT_FALSE(limits_of_magnitude(Interval<Counts>{Counts(0.0), Counts(5.0)}).low);
    EXPECT_TRUE(limits_of_magnitude(Interval<Counts>{Counts(1.0), Counts(5.0)}).low);
}

TEST(GlobalRisk, ConservesAllUnits) {
    const auto process = normal_process(0.2, 1.0);
    const auto risk = *global_risk(process, 0.3, {-2.0, 2.0}, {-1.7, 1.7});
    // Accepted = conforming - rejected good + accepted bad; all parts lie between 0 and 1.
    const auto accepted = *global_risk(process, 0.3, {-1.7, 1.7}, {-1.7, 1.7});
    const double through_first = 1.0 - risk.nonconforming - risk.producer + risk.consumer;
    const double through_second =
        1.0 - accepted.nonconforming - accepted.producer + accepted.consumer;
    EXPECT_NEAR(through_first, through_second, 1e-10);
}

TEST(GlobalRisk, FallsForTheConsumerAsTheGuardBandGrows) {
    const auto process = normal_process(0.0, 1.0);
    double last = 1.0, lost = 0.0;
    for (const double w : {0.0, 0.2, 0.4, 0.8}) {
        const auto risk = *global_risk(process, 0.4, {-2.0, 2.0}, *guarded_limits({-2.0, 2.0}, w));
        EXPECT_LT(risk.consumer, last);
        EXPECT_GT(risk.producer, lost);
        last = risk.consumer;
        lost = risk.producer;
    }
}

TEST(GlobalRisk, NamesEveryBadInput) {
    using statistics::Flaw;
    const auto process = normal_process(0.0, 1.0);
    EXPECT_EQ(global_risk(process, 0.0, both, both).error(), Flaw::not_positive);
    EXPECT_EQ(global_risk(process, NAN, both, both).error(), Flaw::not_finite);
    EXPECT_EQ(global_risk(process, 1.0, {1.0, -1.0}, both).error(), Flaw::empty_interval);
    EXPECT_EQ(global_risk({process.density, 1.0, 1.0}, 1.0, both, both).error(),
              Flaw::empty_interval);
    EXPECT_EQ(guarded_limits(both, 11.0).error(), Flaw::empty_interval);
    EXPECT_EQ(guard_band_for(process, 1.0, {}, 0.01).error(), Flaw::empty_interval);
    EXPECT_EQ(*guard_band_for(process, 0.1, {-6.0, 6.0}, 0.01), 0.0);
}

}  // namespace
}  // namespace padtrim::metrology
