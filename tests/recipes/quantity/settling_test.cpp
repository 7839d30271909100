#include "recipes/quantity/settling.hpp"

#include <gtest/gtest.h>

namespace padtrim {
namespace {

constexpr double tolerance = 1e-12;

TEST(TimeConstant, IsResistanceTimesCapacitance) {
    // 10 kohm and 20 pF make 200 ns, 470 ohm and 15 pF make 7.05 ns: R C by definition.
    EXPECT_NEAR(time_constant(Ohm(10e3), Picofarad(20.0)).value(), 200e-6, 1e-18);
    EXPECT_NEAR(time_constant(Ohm(470.0), Picofarad(15.0)).value(), 7.05e-6, 1e-18);
}

TEST(UnsettledPart, FollowsTheStepResponseOfAFirstOrderBranch) {
    // exp(-n) for n = 1, 2, 3, 5; the step response of an RC branch stands in any circuit
    // textbook, digits computed to 13 places.
    const Ohm series(1e6);
    const Picofarad load(1000.0);  // 1 ms
    EXPECT_NEAR(unsettled_part(Millisecond(1.0), series, load), 3.678794411714e-01, tolerance);
    EXPECT_NEAR(unsettled_part(Millisecond(2.0), series, load), 1.353352832366e-01, tolerance);
    EXPECT_NEAR(unsettled_part(Millisecond(3.0), series, load), 4.978706836786e-02, tolerance);
    EXPECT_NEAR(unsettled_part(Millisecond(5.0), series, load), 6.737946999085e-03, tolerance);
}

TEST(UnsettledPart, IsOneCodeOfAConverterAfterBitsTimesLogarithmOfTwo) {
    // n ln 2 time constants leave 2^-n: a common rule for settling before an n-bit converter;
    // 12 bits need 8.3177661667, 16 bits 11.0903548890 time constants (computed).
    const Ohm series(1e6);
    const Picofarad load(1000.0);
    EXPECT_NEAR(unsettled_part(Millisecond(8.3177661667), series, load) * 4096.0, 1.0, 1e-9);
    EXPECT_NEAR(unsettled_part(Millisecond(11.0903548890), series, load) * 65536.0, 1.0, 1e-9);
}

TEST(UnsettledPart, IsNothingWithoutResistanceOrLoad) {
    EXPECT_EQ(unsettled_part(Millisecond(1.0), Ohm(0.0), Picofarad(10.0)), 0.0);
    EXPECT_EQ(unsettled_part(Millisecond(1.0), Ohm(470.0), Picofarad(0.0)), 0.0);
}

TEST(UnsettledPart, IsAllOfItAtOnce) {
    EXPECT_EQ(unsettled_part(Millisecond(0.0), Ohm(470.0), Picofarad(10.0)), 1.0);
}

TEST(ChargeTime, IsHalfAPeriodOfTheDrive) {
    EXPECT_DOUBLE_EQ(charge_time(Kilohertz(250.0)).value(), 0.002);
    EXPECT_DOUBLE_EQ(charge_time(Kilohertz(1000.0)).value(), 0.0005);
}

}  // namespace
}  // namespace padtrim
