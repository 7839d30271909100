#include "db/quality/yield.hpp"

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using record::YieldCount;
using statistics::Flaw;

// 500 started, 465 pass at first, 25 after retest, 10 scrapped; definitions from memory (common
// practice), arithmetic exact. The 35 that did not pass at first were all retested.
YieldCount line_of_500() {
    YieldCount count;
    count.units = 500;
    count.first_pass = 465;
    count.final_pass = 490;
    count.retested = 35;
    count.rejected_first = 35;
    count.recovered = 25;
    return count;
}

TEST(Yield, DividesAsThePublishedDefinitionsSay) {
    const Yield yield = yield_of(line_of_500()).value();
    EXPECT_DOUBLE_EQ(yield.first_pass.value, 0.93);
    EXPECT_DOUBLE_EQ(yield.final_pass.value, 0.98);
    EXPECT_DOUBLE_EQ(yield.retest_rate, 0.07);
    EXPECT_DOUBLE_EQ(yield.retest_recovery.value(), 25.0 / 35.0);
}

// 490/500: the intervals are printed in public copies of binomial interval tables to 4 decimals.
TEST(Yield, CarriesTheDoubtOfCounting) {
    const Share final_pass = yield_of(line_of_500()).value().final_pass;
    EXPECT_NEAR(final_pass.exact.low, 0.9635, 0.5e-4);
    EXPECT_NEAR(final_pass.exact.high, 0.9904, 0.5e-4);
    EXPECT_NEAR(final_pass.wilson.low, 0.9636, 0.5e-4);
    EXPECT_NEAR(final_pass.wilson.high, 0.9891, 0.5e-4);
}

TEST(Yield, WidensWithTheCoverage) {
    const Share usual = yield_of(line_of_500(), 0.95).value().first_pass;
    const Share wide = yield_of(line_of_500(), 0.99).value().first_pass;
    EXPECT_LT(wide.exact.low, usual.exact.low);
    EXPECT_GT(wide.wilson.high, usual.wilson.high);
}

TEST(Yield, IsNoNumberBeforeAUnitWasTried) {
    YieldCount only_faults;
    only_faults.without_verdict = 3;
    EXPECT_EQ(yield_of(only_faults).error(), Flaw::too_few_points);
}

TEST(Yield, HasNoRecoveryWhereNothingWasRejected) {
    YieldCount count;
    count.units = count.first_pass = count.final_pass = 4;
    EXPECT_FALSE(yield_of(count).value().retest_recovery.has_value());
}

TEST(Yield, RefusesCountsThatContradictEachOther) {
    YieldCount more_passes = line_of_500();
    more_passes.first_pass = 501;
    EXPECT_EQ(yield_of(more_passes).error(), Flaw::out_of_domain);
    YieldCount more_recovered = line_of_500();
    more_recovered.recovered = 36;
    EXPECT_EQ(yield_of(more_recovered).error(), Flaw::out_of_domain);
    EXPECT_EQ(yield_of(line_of_500(), 1.5).error(), Flaw::out_of_domain);
}

TEST(YieldCount, AddsUpOverLots) {
    const YieldCount both = line_of_500() + line_of_500();
    EXPECT_EQ(both.units, 1000U);
    EXPECT_EQ(both.recovered, 50U);
    EXPECT_DOUBLE_EQ(yield_of(both).value().first_pass.value, 0.93);
}

}  // namespace
}  // namespace padtrim::quality
