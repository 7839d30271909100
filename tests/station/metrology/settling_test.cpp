// Settling by value: readings made by hand whose halves differ by known counts.
#include "station/metrology/settling.hpp"

#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/station/metrology/hand_made.hpp"

namespace padtrim::metrology {
namespace {

using metrology_test::HandMade;
using record::Verdict;

// Its halves differ by twice the deviation, and nothing scatters within a half.
constexpr std::array<int, 8> late{-1, -1, -1, -1, 1, 1, 1, 1};
constexpr std::array<int, 8> still{};

HandMade unit_of(unsigned scans = 8) {
    HandMade unit(2, 1);
    for (const char* name : {"R1", "R2", "R3", "R4"}) {
        unit.reference(name, 1.0, 0);
        unit.reference(name, 1.0, 1);
    }
    language::GainOffsetStep fit;
    fit.references = {"R1", "R2", "R3", "R4"};
    fit.scans = scans;
    fit.settling.high = Counts(20.0);
    unit.step("fit", fit);
    return unit;
}

TEST(Settling, IsTheLargestChangeWithinAState) {
    HandMade unit = unit_of();
    unit.state("fit", "", {{1000, 2000}, {1}}, late);
    unit.state("fit", "R1", {{1500, 2500}, {6, 2}}, late);
    unit.state("fit", "", {{1000, 2000}, {0}}, still);
    // Halves that do not scatter are known to the resolution (JCGM 100 F.2.2.1), each by itself.
    const auto first = unit.check("settling", 0);
    EXPECT_DOUBLE_EQ(first.value, 12.0);
    EXPECT_NEAR(first.standard_uncertainty, std::sqrt(2.0 / 12.0), 1e-9);
    EXPECT_EQ(first.verdict, Verdict::pass);
    EXPECT_DOUBLE_EQ(unit.check("settling", 1).value, 4.0);
}

TEST(Settling, FailsAContactThatClosesLate) {
    HandMade unit = unit_of();
    unit.state("fit", "", {{1000, 2000}, {0}}, still);
    unit.state("fit", "R1", {{1500, 2500}, {40, 0}}, {-8, -4, -1, 0, 0, 0, 0, 0});
    unit.state("fit", "", {{1000, 2000}, {0}}, still);
    const auto late_one = unit.check("settling", 0);
    EXPECT_DOUBLE_EQ(late_one.value, 130.0);  // 40 times 13 over 4 scans
    EXPECT_EQ(late_one.verdict, Verdict::fail);
    EXPECT_THAT(late_one.note, testing::HasSubstr("Settling at key 1"));
    EXPECT_EQ(unit.check("settling", 1).verdict, Verdict::pass);
}

TEST(Settling, OfOneChannelAtATimeIsOfItsOwnStates) {
    HandMade unit = unit_of();
    unit.state("fit", "R1", {{1500, 2500}, {6}}, late).channels = {1};
    unit.state("fit", "", {{1000, 2000}, {1}}, late);
    EXPECT_DOUBLE_EQ(unit.check("settling", 0).value, 2.0);
    EXPECT_DOUBLE_EQ(unit.check("settling", 1).value, 12.0);
}

// Four readings about their mean, a, -a, -a and a: their squares 4 a^2 over 3 degrees a state (JCGM
// 100 4.2.2), of neighbours alternating as independent ones do on average (-1/4 of the squares).
TEST(Settling, HasTheDoubtOfBothHalves) {
    HandMade unit = unit_of();
    for (int state = 0; state < 4; ++state) unit.state("fit", "", {{1000, 2000}, {5}});
    const auto check = unit.check("settling", 0);
    EXPECT_DOUBLE_EQ(check.value, 0.0);
    const double one = 4.0 * 25.0 / 3.0;
    EXPECT_NEAR(check.standard_uncertainty, std::sqrt(2.0 * one / 4.0), 0.02);
    EXPECT_NEAR(check.degrees_of_freedom, 12.0, 0.1);
}

TEST(Settling, IsUnjudgedWhereStatesAreTooShort) {
    HandMade unit = unit_of();
    unit.state("fit", "", {{1000, 2000}, {0}}, still);
    unit.seen.readings.back().scans.resize(3);
    int unjudged = 0;
    for (const auto& check : unit.judged().checks)
        unjudged += check.check == "settling" && check.verdict == Verdict::no_verdict ? 1 : 0;
    EXPECT_EQ(unjudged, 2);
}

TEST(Settling, IsUnjudgedForAChannelThatNothingWasReadOf) {
    HandMade unit = unit_of();
    unit.state("fit", "R1", {{1500, 2500}, {6}}, late).channels = {1};
    for (const auto& check : unit.judged().checks) {
        if (check.check != "settling" || check.channel != 0) continue;
        EXPECT_EQ(check.verdict, Verdict::no_verdict);
    }
    EXPECT_DOUBLE_EQ(unit.check("settling", 1).value, 12.0);
}

}  // namespace
}  // namespace padtrim::metrology
