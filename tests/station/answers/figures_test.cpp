#include "station/answers/figures.hpp"

#include <limits>

#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

using namespace std::chrono_literals;

// GUM (JCGM 100:2008) 7.2.2, form 2: m_S = 100,021 47(35) g.
TEST(Figures, WriteTheGumsOwnExample) {
    EXPECT_EQ(concise(100.02147, 0.00035), "100.02147(35)");
}

// The rule "two digits below 355, else one" is that of the Particle Data Group's reviews (section
// on rounding); its example 0.827 +- 0.119 becomes 0.83 +- 0.12, and 0.827 +- 0.367 becomes
// 0.8 +- 0.4. From memory.
TEST(Figures, RoundAsTheParticleDataGroupDoes) {
    EXPECT_EQ(concise(0.827, 0.119), "0.83(12)");
    EXPECT_EQ(concise(0.827, 0.367), "0.8(4)");
}

TEST(Figures, WriteGainAndResponseAsTheDrawingOfficeDoes) {
    EXPECT_EQ(concise(812.41, 0.6), "812.4(6)");
    EXPECT_EQ(concise(212.2, 9.0), "212(9)");
    EXPECT_EQ(concise(-3.14159, 0.02), "-3.142(20)");
}

TEST(Figures, KeepTheUncertaintyWholeWhenItIsLargerThanOne) {
    EXPECT_EQ(concise(5312.0, 43.0), "5310(40)");
    EXPECT_EQ(concise(5312.0, 120.0), "5310(120)");
}

TEST(Figures, CarryWhenRoundingReachesTheNextPower) {
    EXPECT_EQ(concise(1.0, 0.0996), "1.00(10)");
    EXPECT_EQ(concise(1.0, 9.7), "1(10)");
}

TEST(Figures, LeaveAValueAloneWithoutUncertainty) {
    EXPECT_EQ(concise(3.0, 0.0), "3");
    EXPECT_EQ(concise(3.25, std::numeric_limits<double>::quiet_NaN()), "3.25");
}

TEST(Figures, SayLimitsInWords) {
    EXPECT_EQ(allowed(250.0, std::nullopt), "at least 250");
    EXPECT_EQ(allowed(std::nullopt, 5.0), "at most 5");
    EXPECT_EQ(allowed(380.0, 430.0), "380 to 430");
    EXPECT_EQ(allowed(std::nullopt, std::nullopt), "");
}

TEST(Figures, SayDurationsAsPeopleDo) {
    EXPECT_EQ(lasting(380ms), "0.4 s");
    EXPECT_EQ(lasting(8600ms), "9 s");
    EXPECT_EQ(lasting(125s), "2 min 5 s");
    EXPECT_EQ(lasting(4800s), "1 h 20 min");
    EXPECT_EQ(lasting(-5s), "0.0 s");
}

// U+2212 before a figure alone: names and dates keep their hyphens.
TEST(Figures, HaveAMinusOnPaperAndNamesKeepTheirHyphens) {
    EXPECT_EQ(with_minus("-78.41 (-80 to -3)"), "\u221278.41 (\u221280 to \u22123)");
    EXPECT_EQ(with_minus("HOB8-00001 of 2231-A on 2026-03-31, as-left -"),
              "HOB8-00001 of 2231-A on 2026-03-31, as-left -");
}

TEST(Figures, LeaveAUnitOfOneOut) {
    EXPECT_EQ(allowed(6.0, {}) + unit_after("1"), "at least 6");
    EXPECT_EQ(allowed(6.0, {}) + unit_after("counts"), "at least 6 counts");
}

TEST(Figures, CountWithTheRightPlural) {
    EXPECT_EQ(counted(1, "unit"), "1 unit");
    EXPECT_EQ(counted(0, "unit"), "0 units");
}

}  // namespace
}  // namespace padtrim::answers
