#include "db/record/rolled_up.hpp"

#include <gtest/gtest.h>

namespace padtrim::record {
namespace {

WallTime minute_of_day_100(int minute) {
    return WallTime(std::chrono::sys_days(std::chrono::days(100))) + std::chrono::minutes(minute);
}

TEST(ShiftMoment, GoesFromEachBeginToTheNextAndOverMidnight) {
    const ShiftHours three;
    EXPECT_EQ(shift_at(three, minute_of_day_100(0)), (ShiftMoment{100, 3, 99}));
    EXPECT_EQ(shift_at(three, minute_of_day_100(359)), (ShiftMoment{100, 3, 99}));
    EXPECT_EQ(shift_at(three, minute_of_day_100(360)), (ShiftMoment{100, 1, 100}));
    EXPECT_EQ(shift_at(three, minute_of_day_100(839)), (ShiftMoment{100, 1, 100}));
    EXPECT_EQ(shift_at(three, minute_of_day_100(840)), (ShiftMoment{100, 2, 100}));
    EXPECT_EQ(shift_at(three, minute_of_day_100(1439)), (ShiftMoment{100, 3, 100}));
    EXPECT_EQ(shift_at({{0}}, minute_of_day_100(0)), (ShiftMoment{100, 1, 100}));
}

TEST(ShiftMoment, KnowsDaysBefore1970) {
    EXPECT_EQ(shift_at({}, WallTime(std::chrono::milliseconds(-1))).day, -1);
    EXPECT_EQ(shift_at({}, WallTime(std::chrono::milliseconds(-1))).shift, 3);
}

}  // namespace
}  // namespace padtrim::record
