#include "db/quality/compare_shares.hpp"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

namespace padtrim::quality {
namespace {

using statistics::Flaw;

TEST(CompareShares, SaysWhichTestItUsed) {
    const std::vector<Counted> few{{3, 4}, {1, 4}}, many{{460, 500}, {480, 500}};
    EXPECT_EQ(homogeneity(few)->test, ShareTest::exact);
    EXPECT_EQ(homogeneity(many)->test, ShareTest::score);
}

// All tables of 3 and 3 units, by hand: 20 equally likely draws of 3 of 6.
TEST(CompareShares, CountsTheTablesOfSixUnits) {
    EXPECT_NEAR(compare_shares({3, 3}, {0, 3})->test.significance, 2.0 / 20.0, 1e-12);
    EXPECT_NEAR(compare_shares({2, 3}, {1, 3})->test.significance, 1.0, 1e-12);
}

TEST(CompareShares, FindsNothingBetweenSharesThatAreAllOrNone) {
    EXPECT_EQ(compare_shares({0, 50}, {0, 80})->test.significance, 1.0);
    EXPECT_EQ(compare_shares({50, 50}, {80, 80})->test.significance, 1.0);
}

TEST(CompareShares, MirrorsWhenTheSidesChange) {
    for (const auto& [a, b] :
         {std::pair<Counted, Counted>{{3, 40}, {9, 35}}, {{90, 400}, {7, 9}}}) {
        const auto here = *compare_shares(a, b), there = *compare_shares(b, a);
        EXPECT_NEAR(here.value, -there.value, 1e-15);
        EXPECT_NEAR(here.difference.low, -there.difference.high, 1e-15);
        EXPECT_NEAR(here.test.significance, there.test.significance, 1e-12);
        const auto failed =
            *compare_shares({a.whole - a.part, a.whole}, {b.whole - b.part, b.whole});
        EXPECT_NEAR(failed.test.significance, here.test.significance, 1e-9);
    }
}

TEST(CompareShares, ReadsAMillionUnitsAndSeesATenthOfAPercent) {
    const auto compared = *compare_shares({495'000, 500'000}, {495'500, 500'000});
    EXPECT_TRUE(compared.real(0.001));
    EXPECT_GT(0.0, compared.difference.high);
}

// Simulation, seeded: two lots alike are called different in at most about the stated risk. 4000
// pairs at 5 %: 200 +- 41 (3 sigma of counting); the exact test stays below.
TEST(CompareShares, CallsAlikeLotsDifferentNoOftenerThanStated) {
    std::mt19937_64 source(3);
    for (const auto& [units, yield] : {std::pair{400, 0.93}, std::pair{60, 0.97}}) {
        std::binomial_distribution<std::uint64_t> lot(static_cast<std::uint64_t>(units), yield);
        const auto whole = static_cast<std::uint64_t>(units);
        int alarms = 0;
        for (int i = 0; i < 4000; ++i)
            alarms +=
                compare_shares({lot(source), whole}, {lot(source), whole})->real(0.05) ? 1 : 0;
        EXPECT_LT(alarms, 250) << units;
        EXPECT_GT(alarms, 2) << units;
    }
}

TEST(CompareShares, NamesTheFlawOfSenselessCounts) {
    EXPECT_EQ(compare_shares({0, 0}, {1, 2}).error(), Flaw::too_few_points);
    EXPECT_EQ(compare_shares({3, 2}, {1, 2}).error(), Flaw::out_of_domain);
    EXPECT_EQ(compare_shares({1, 2}, {1, 2}, std::nan("")).error(), Flaw::out_of_domain);
    EXPECT_EQ(homogeneity(std::vector<Counted>{{1, 2}}).error(), Flaw::too_few_points);
    EXPECT_EQ(homogeneity(std::vector<Counted>{{1, 2}, {1, 2}, {0, 2}}).error(),
              Flaw::too_few_points);
    EXPECT_EQ(statistics::fisher_exact({0, 0}, {1, 2}).error(), Flaw::too_few_points);
    EXPECT_EQ(statistics::fisher_exact({1, 2}, {3, 2}).error(), Flaw::out_of_domain);
}

// Holm's definition: 0.01 x 4, 0.02 x 3, 0.03 x 2, 0.04 x 1, none below the one before.
TEST(Holm, StepsDownWithoutFalling) {
    const std::vector<double> given{0.02, 0.01, 0.04, 0.03};
    const auto adjusted = *holm(given);
    EXPECT_NEAR(adjusted[1], 0.04, 1e-15);
    EXPECT_NEAR(adjusted[0], 0.06, 1e-15);
    EXPECT_NEAR(adjusted[3], 0.06, 1e-15);
    EXPECT_NEAR(adjusted[2], 0.06, 1e-15);
    EXPECT_EQ(holm(std::vector<double>{}).error(), Flaw::too_few_points);
    EXPECT_EQ(holm(std::vector<double>{std::nan("")}).error(), Flaw::out_of_domain);
}

}  // namespace
}  // namespace padtrim::quality
