#include "db/record/attempts.hpp"

#include <gtest/gtest.h>

namespace padtrim::record {
namespace {

Readings readings_at(const std::string& step, std::int64_t at_us) {
    Readings readings;
    readings.step = step;
    readings.scans = {{1, at_us, {}}, {2, at_us + 5, {}}};
    return readings;
}

TouchReport report_at(const std::string& step, std::int64_t at_us) {
    TouchReport report;
    report.step = step;
    report.at_us = at_us;
    return report;
}

TEST(Attempts, OfARepeatedStepTheLastCounts) {
    Observations seen;
    seen.readings = {readings_at("noise", 10), readings_at("touch", 30), readings_at("noise", 50),
                     readings_at("noise", 90)};
    seen.touch_reports = {report_at("touch", 32), report_at("noise", 12)};
    seen.attempts = {{"noise", 1, 20}, {"noise", 2, 60}};
    const auto counted = without_earlier_attempts(seen);
    EXPECT_EQ(counted.readings, (std::vector{readings_at("touch", 30), readings_at("noise", 90)}));
    EXPECT_EQ(counted.touch_reports, (std::vector{report_at("touch", 32)}));
    EXPECT_EQ(counted.attempts, seen.attempts);
    EXPECT_EQ(earlier_attempts(seen, "noise"), 2U);
    EXPECT_EQ(earlier_attempts(seen, "touch"), 0U);
}

TEST(Attempts, AtTheVeryEndOfAnAttemptBelongToIt) {
    Observations seen;
    seen.readings = {readings_at("noise", 20), readings_at("noise", 21)};
    seen.attempts = {{"noise", 1, 20}};
    EXPECT_EQ(without_earlier_attempts(seen).readings, (std::vector{readings_at("noise", 21)}));
}

TEST(Attempts, ThatWereNotRepeatedLeaveEverythingAsItIs) {
    Observations seen;
    seen.readings = {readings_at("noise", 20)};
    EXPECT_EQ(without_earlier_attempts(seen), seen);
}

}  // namespace
}  // namespace padtrim::record
