#include "db/quality/run_rules.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "db/quality/run_rule_rates.hpp"

namespace padtrim::quality {
namespace {

using enum RunRule;
using statistics::Flaw;

// At which points (from 1) the rule signals.
std::vector<int> signals_of(RunRule rule, const std::vector<double>& values) {
    auto rules = *RunRules::of({0.0, 1.0}, {rule});
    std::vector<int> at;
    int point = 0;
    for (const double value : values) {
        ++point;
        if (rules.add(value)->has(rule)) at.push_back(point);
    }
    return at;
}

TEST(RunRules, SignalByTheirPublishedDefinitions) {
    EXPECT_EQ(signals_of(beyond_limits, {2.9, 3.1, -3.1, 3.0}), (std::vector{2, 3}));
    EXPECT_EQ(signals_of(two_of_three, {2.1, 0, 2.1, -2.1, 0, 0, -2.1}), (std::vector{3}));
    EXPECT_EQ(signals_of(four_of_five, {1.1, 1.1, 0, 1.1, 1.1, 0, 1.1}), (std::vector{5}));
    EXPECT_EQ(signals_of(six_steady, {0, 1, 2, 3, 4, 5, 6, 5}), (std::vector{6, 7}));
    EXPECT_EQ(signals_of(six_steady, {5, 4, 3, 2, 2, 1, 0}), (std::vector<int>{}));
    EXPECT_EQ(signals_of(eight_on_one_side, std::vector<double>(9, 0.1)), (std::vector{8, 9}));
    EXPECT_EQ(signals_of(nine_on_one_side, std::vector<double>(9, -0.1)), (std::vector{9}));
    EXPECT_EQ(signals_of(nine_on_one_side, std::vector<double>(20, 0.0)), (std::vector<int>{}));
    EXPECT_EQ(signals_of(fifteen_within, std::vector<double>(15, 0.5)), (std::vector{15}));
    std::vector<double> turns;
    for (int i = 0; i < 14; ++i) turns.push_back(i % 2 == 0 ? 1.5 : -1.5);
    EXPECT_EQ(signals_of(fourteen_alternating, turns), (std::vector{14}));
    EXPECT_EQ(signals_of(eight_beyond, turns), (std::vector{8, 9, 10, 11, 12, 13, 14}));
}

TEST(RunRules, DoNotSignalAtAPointThatIsItselfInside) {
    EXPECT_EQ(signals_of(two_of_three, {2.1, 2.1, 0.0}), (std::vector{2}));
}

TEST(RunRules, AreTheSameUpsideDown) {
    std::mt19937_64 source(41);
    std::normal_distribution<double> normal(0.5, 1.0);
    std::vector<double> values(2000), turned;
    for (double& value : values) value = normal(source);
    for (const double value : values) turned.push_back(-value);
    for (std::size_t i = 0; i < run_rule_count; ++i)
        EXPECT_EQ(signals_of(static_cast<RunRule>(i), values),
                  signals_of(static_cast<RunRule>(i), turned));
}

// Simulation, seeded: the share of full windows that signal, over a million points; windows
// overlap, so that signals come in clumps: bounds of about 3 sigma, wider for the rarest.
TEST(RunRules, SignalAsOftenAsTheirWindowsSay) {
    std::mt19937_64 source(42);
    std::normal_distribution<double> normal;
    std::vector<double> values(1'000'000);
    for (double& value : values) value = normal(source);
    for (const RunRule rule : {beyond_limits, eight_on_one_side, nine_on_one_side, six_steady,
                               fourteen_alternating, fifteen_within}) {
        const double share = static_cast<double>(signals_of(rule, values).size()) / 1'000'000.0;
        EXPECT_NEAR(share / window_probability(rule), 1.0, 0.12) << static_cast<int>(rule);
    }
    const auto rare = static_cast<double>(signals_of(eight_beyond, values).size()) / 1'000'000.0;
    EXPECT_NEAR(rare / window_probability(eight_beyond), 1.0, 0.4);
}

// Simulation, seeded: the mean run length of the rules themselves beside the Markov chain's.
TEST(RunRules, RunAsLongAsTheirChainSays) {
    std::mt19937_64 source(43);
    std::normal_distribution<double> normal;
    for (const RuleSet& set :
         {RuleSet{beyond_limits, two_of_three, four_of_five, eight_on_one_side},
          RuleSet{fifteen_within}, RuleSet{nine_on_one_side, eight_beyond}}) {
        constexpr int charts = 1500;
        double points = 0.0;
        for (int i = 0; i < charts; ++i) {
            auto rules = *RunRules::of({0.0, 1.0}, set);
            for (bool signalled = false; !signalled; points += 1.0)
                signalled = !rules.add(normal(source))->empty();
        }
        EXPECT_NEAR(points / charts / *run_length(set, 0.0), 1.0, 0.09);
    }
}

TEST(RunRules, NameEveryFlaw) {
    EXPECT_EQ(RunRules::of({0.0, 0.0}, {}).error(), Flaw::not_positive);
    EXPECT_EQ(RunRules::of({NAN, 1.0}, {}).error(), Flaw::not_finite);
    auto rules = *RunRules::of({0.0, 1.0}, {beyond_limits});
    EXPECT_EQ(rules.add(NAN).error(), Flaw::not_finite);
    EXPECT_EQ(rules.add(INFINITY).error(), Flaw::not_finite);
    EXPECT_EQ(run_length({}, 0.0).error(), Flaw::too_few_points);
    EXPECT_EQ(run_length({beyond_limits}, NAN).error(), Flaw::not_finite);
    EXPECT_EQ(run_length({beyond_limits}, 9.0).error(), Flaw::out_of_domain);
    EXPECT_EQ(run_length({six_steady}, 0.0).error(), Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::quality
