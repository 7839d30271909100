#include "station/answers/readiness.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace padtrim::answers {
namespace {

using record::Readiness;
using testing::HasSubstr;
using namespace std::chrono_literals;

const record::WallTime now{std::chrono::sys_days(std::chrono::year(2026) / 11 / 26) + 10h};

language::FixtureProfile watched_profile() {
    language::FixtureProfile fixture;
    fixture.equipment.certificate = "26-1";
    fixture.equipment.recalibration_due = "2027-01-01";
    fixture.shift_check.emplace();
    fixture.shift_check->valid = 12h;
    return fixture;
}

record::ShiftCheck check(record::CheckDecision decision, std::chrono::minutes ago) {
    record::ShiftCheck check;
    check.id = 7;
    check.certificate = "26-1";
    check.decision = decision;
    check.at = now - ago;
    check.cause = "The finger is worn.";
    check.next_step = "Replace it.";
    return check;
}

ReadinessAnswer after(const std::optional<record::ShiftCheck>& newest,
                      const language::FixtureProfile& fixture = watched_profile()) {
    std::optional<record::WallTime> good;
    if (newest && newest->decision == record::CheckDecision::ready) good = newest->at;
    return readiness_of(fixture, newest, good, now);
}

TEST(Readiness, IsThereAfterAGoodCheckThatIsNotTooOld) {
    const auto answer = after(check(record::CheckDecision::ready, 80min));
    EXPECT_EQ(answer.station.state, Readiness::ready);
    EXPECT_EQ(answer.station.shift_check, 7);
    EXPECT_TRUE(answer.may_produce());
    EXPECT_THAT(answer.sentence, HasSubstr("The last good shift check is 1 h 20 min old"));
}

TEST(Readiness, NeedsACheckWhenThereIsNoneOrItIsTooOld) {
    EXPECT_EQ(after(std::nullopt).station.state, Readiness::needs_check);
    EXPECT_EQ(after(check(record::CheckDecision::ready, 12h)).station.state, Readiness::ready);
    const auto old = after(check(record::CheckDecision::ready, 12h + 1min));
    EXPECT_EQ(old.station.state, Readiness::needs_check);
    EXPECT_THAT(old.sentence, HasSubstr("It holds for 12 h"));
    EXPECT_FALSE(old.may_produce());
}

TEST(Readiness, IsBlockedByTheNewestCheckWhateverItsAge) {
    const auto answer = after(check(record::CheckDecision::blocked, 48h));
    EXPECT_EQ(answer.station.state, Readiness::blocked);
    EXPECT_THAT(answer.sentence, HasSubstr("The finger is worn. Replace it."));
}

TEST(Readiness, NeedsACheckAfterTheReferencesWereCharacterised) {
    auto fixture = watched_profile();
    fixture.equipment.certificate = "26-2";
    const auto answer = after(check(record::CheckDecision::ready, 1h), fixture);
    EXPECT_EQ(answer.station.state, Readiness::needs_check);
    EXPECT_THAT(answer.sentence, HasSubstr("another certificate"));
}

TEST(Readiness, EndsOnTheDayOfRecalibration) {
    auto fixture = watched_profile();
    fixture.equipment.recalibration_due = "2026-11-27";
    EXPECT_TRUE(after(check(record::CheckDecision::ready, 1h), fixture).may_produce());
    fixture.equipment.recalibration_due = "2026-11-26";
    const auto due = after(check(record::CheckDecision::ready, 1h), fixture);
    EXPECT_FALSE(due.may_produce());
    EXPECT_EQ(due.station.state, Readiness::needs_check);
    EXPECT_THAT(due.sentence, HasSubstr("were due for recalibration on 2026-11-26"));
}

TEST(Readiness, IsUnwatchedWithoutCheckStandardsAndMayProduce) {
    auto fixture = watched_profile();
    fixture.shift_check.reset();
    const auto answer = after(std::nullopt, fixture);
    EXPECT_EQ(answer.station.state, Readiness::unwatched);
    EXPECT_TRUE(answer.may_produce());
    EXPECT_THAT(answer.sentence, HasSubstr("names no check standards"));
}

}  // namespace
}  // namespace padtrim::answers
