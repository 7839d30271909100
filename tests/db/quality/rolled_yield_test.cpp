#include "db/quality/rolled_yield.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "db/quality/pareto.hpp"

namespace padtrim::quality {
namespace {

using statistics::Flaw;

const std::vector<Counted> four_steps{{980, 1000}, {950, 1000}, {990, 1000}, {970, 1000}};

TEST(RolledYield, IsTheProductOfItsSteps) {
    const auto rolled = *rolled_yield(four_steps);
    EXPECT_NEAR(rolled.value, 0.8940393, 1e-14);
    EXPECT_LT(rolled.interval.low, rolled.value);
    EXPECT_GT(rolled.interval.high, rolled.value);
}

TEST(RolledYield, DoesNotAskForTheOrderOfSteps) {
    auto turned = four_steps;
    std::reverse(turned.begin(), turned.end());
    EXPECT_NEAR(rolled_yield(turned)->interval.low, rolled_yield(four_steps)->interval.low, 1e-15);
}

TEST(RolledYield, OfOneStepHasThatStepsExactInterval) {
    const auto one = *rolled_yield(std::vector<Counted>{{81, 263}});
    EXPECT_NEAR(one.interval.low, 0.252736745585, 1e-11);
    EXPECT_NEAR(one.interval.high, 0.367621922601, 1e-11);
}

TEST(RolledYield, NamesTheFlawOfNoStepAndOfNothingTried) {
    EXPECT_EQ(rolled_yield({}).error(), Flaw::too_few_points);
    EXPECT_EQ(rolled_yield(std::vector<Counted>{{0, 0}}).error(), Flaw::too_few_points);
    EXPECT_EQ(rolled_yield(four_steps, std::nan("")).error(), Flaw::out_of_domain);
    EXPECT_TRUE(std::isinf(rolled_yield(std::vector<Counted>{{0, 9}})->defects_per_unit));
}

TEST(Recoveries, PointAtTheNestThatRejectsGoodUnits) {
    const std::vector<RejectedFirst> nests{
        {"nest 1", {4, 60}}, {"nest 2", {45, 70}}, {"nest 3", {6, 55}}, {"nest 4", {0, 0}}};
    const auto all = *recoveries(nests);
    ASSERT_EQ(all.size(), 3U);
    EXPECT_FALSE(all[0].suspect(0.01));
    EXPECT_TRUE(all[1].suspect(0.01));
    EXPECT_FALSE(all[2].suspect(0.01));
    EXPECT_NEAR(all[1].rest, 10.0 / 115.0, 1e-15);
}

TEST(Recoveries, AccuseNobodyWhereAllRecoverAlike) {
    const std::vector<RejectedFirst> nests{{"nest 1", {6, 60}}, {"nest 2", {7, 70}}};
    for (const Recovery& each : *recoveries(nests)) EXPECT_FALSE(each.suspect(0.05));
    const std::vector<RejectedFirst> alone{{"nest 1", {6, 60}}};
    EXPECT_EQ(recoveries(alone)->front().significance, 1.0);
    EXPECT_TRUE(recoveries({})->empty());
    const std::vector<RejectedFirst> wrong{{"nest 1", {7, 6}}};
    EXPECT_EQ(recoveries(wrong).error(), Flaw::out_of_domain);
}

TEST(Pareto, FallsAndEndsAtOne) {
    const std::vector<NamedCount> counts{{"noise", 5}, {"gain", 70}, {"touch", 20},
                                         {"stuck", 0}, {"gain", 3},  {"crosstalk", 2}};
    const auto rows = *pareto(counts);
    ASSERT_EQ(rows.size(), 4U);
    EXPECT_EQ(rows[0].name, "gain");
    EXPECT_EQ(rows[0].count, 73U);
    EXPECT_DOUBLE_EQ(rows[1].running, 0.93);
    EXPECT_DOUBLE_EQ(rows[3].running, 1.0);
    EXPECT_EQ(vital_few(rows, 0.8), 2U);
}

TEST(Pareto, StandsByNameWhereCountsAreEqual) {
    const std::vector<NamedCount> one{{"b", 2}, {"a", 2}, {"c", 9}};
    const std::vector<NamedCount> other{{"c", 9}, {"a", 2}, {"b", 2}};
    for (std::size_t i = 0; i < 3; ++i) EXPECT_EQ((*pareto(one))[i].name, (*pareto(other))[i].name);
    EXPECT_EQ(pareto({}).error(), Flaw::too_few_points);
}

}  // namespace
}  // namespace padtrim::quality
